# One room of the house is one static library with its own public headers.
#
#   seamwright_room(geometry USES units PRIVATE fmt::fmt)
#
# USES names the rooms it stands on. Headers of a room that is not named are not on the include path, so a wrong arrow
# does not compile. Sources: every src/<room>/*.cpp. Headers: src/<room>/include/<room>/*.h.
# Tests: every tests/<room>/*_test.cpp goes into one program, test_<room>, with what else lies there as *.cpp to help
# them; *_main.cpp are programs of their own.

add_library(seamwright_warnings INTERFACE)
# -Wnull-dereference is left out: GCC 12 sees null in every second std::vector at -O3. clang-tidy looks for it instead.
target_compile_options(seamwright_warnings INTERFACE
  -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wsign-conversion -Wold-style-cast -Wnon-virtual-dtor
  -Woverloaded-virtual -Wdouble-promotion -Wformat=2 -Werror)
# Results must be the same bytes on every run: no fused or reordered floating point.
target_compile_options(seamwright_warnings INTERFACE -ffp-contract=off)
if(CMAKE_CXX_COMPILER_ID MATCHES "Clang")
  # libstdc++ 12 uses its own deprecated buffer in std::stable_sort; NAN is a float: clang speaks of both.
  target_compile_options(seamwright_warnings INTERFACE -Wno-deprecated-declarations -Wno-double-promotion)
endif()
if(SEAMWRIGHT_SANITIZE)
  target_compile_options(seamwright_warnings INTERFACE -fsanitize=address,undefined -fno-sanitize-recover=all
    -fno-omit-frame-pointer)
  target_link_options(seamwright_warnings INTERFACE -fsanitize=address,undefined)
endif()

function(seamwright_room room)
  cmake_parse_arguments(ROOM "" "" "USES;PUBLIC;PRIVATE" ${ARGN})
  file(GLOB sources CONFIGURE_DEPENDS "${CMAKE_CURRENT_SOURCE_DIR}/*.cpp")
  set(scope PUBLIC)
  if(sources)
    add_library(${room} STATIC ${sources})
    target_link_libraries(${room} PRIVATE seamwright_warnings)
    if(SEAMWRIGHT_FUZZ)
      target_compile_options(${room} PRIVATE -fsanitize=fuzzer-no-link)
    endif()
  else()
    add_library(${room} INTERFACE)
    set(scope INTERFACE)
  endif()
  add_library(seamwright::${room} ALIAS ${room})
  target_include_directories(${room} ${scope} "${CMAKE_CURRENT_SOURCE_DIR}/include")
  foreach(used IN LISTS ROOM_USES)
    target_link_libraries(${room} ${scope} seamwright::${used})
  endforeach()
  if(ROOM_PUBLIC)
    target_link_libraries(${room} ${scope} ${ROOM_PUBLIC})
  endif()
  if(ROOM_PRIVATE AND sources)
    target_link_libraries(${room} PRIVATE ${ROOM_PRIVATE})
  endif()
  if(SEAMWRIGHT_TESTS)
    seamwright_room_tests(${room})
  endif()
endfunction()

if(SEAMWRIGHT_TESTS)
  add_library(source_folder OBJECT "${CMAKE_SOURCE_DIR}/tests/source_folder.cpp")
  target_compile_definitions(source_folder PRIVATE SEAMWRIGHT_SOURCE_DIR="${CMAKE_SOURCE_DIR}")
  target_link_libraries(source_folder PRIVATE seamwright_warnings)
endif()

function(seamwright_room_tests room)
  file(GLOB tests CONFIGURE_DEPENDS "${CMAKE_SOURCE_DIR}/tests/${room}/*_test.cpp")
  if(NOT tests)
    return()
  endif()
  file(GLOB help CONFIGURE_DEPENDS "${CMAKE_SOURCE_DIR}/tests/${room}/*.cpp")
  list(FILTER help EXCLUDE REGEX "_(test|main)\\.cpp$")
  add_executable(test_${room} ${tests} ${help} $<TARGET_OBJECTS:source_folder>)
  target_include_directories(test_${room} PRIVATE "${CMAKE_SOURCE_DIR}/tests")
  target_link_libraries(test_${room} PRIVATE ${room} seamwright_warnings GTest::gtest_main GTest::gmock rapidcheck
    rapidcheck_gtest)
  # What is tested is built as it is used; the tests themselves are built in half the time without it.
  target_compile_options(test_${room} PRIVATE -O1)
  gtest_discover_tests(test_${room} TEST_PREFIX "${room}." DISCOVERY_TIMEOUT 60)
endfunction()
