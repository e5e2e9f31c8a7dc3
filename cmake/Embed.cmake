# Puts a file inside the program, so that it needs no files beside it at run time.
#
#   seamwright_embed(shelf species_csv "${CMAKE_SOURCE_DIR}/data/mechanical.csv")
#
# gives the sources of `shelf` (and nobody else)
#
#   #include "embedded/species_csv.h"
#   std::string_view text = seamwright::embedded::species_csv();
#
# Call it after seamwright_room(). The name is a C++ name and must be the only one of its kind in the whole program.
# The bytes come over unchanged; the program is rebuilt when the file changes. A room that has no source yet is left
# alone; a file that is missing stops only the build of its room. Needs nothing but CMake: the array is written by this
# same file, run as a script at build time.

if(CMAKE_SCRIPT_MODE_FILE)
  file(READ "${EMBED_FILE}" bytes HEX)
  string(LENGTH "${bytes}" digits)
  math(EXPR size "${digits} / 2")
  string(REGEX REPLACE "([0-9a-f][0-9a-f])" "'\\\\x\\1'," bytes "${bytes}")
  # 120 columns: editors and diff tools choke on one endless line.
  string(REPEAT "'..[0-9a-f][0-9a-f]'," 16 sixteen)
  string(REGEX REPLACE "(${sixteen})" "\\1\n" bytes "${bytes}")
  file(WRITE "${EMBED_OUTPUT}" "#include \"embedded/${EMBED_NAME}.h\"

namespace {
// The closing nought keeps an empty file legal; it is not part of the text.
constexpr char bytes[] = {
${bytes}'\\0'};
}  // namespace

namespace seamwright::embedded {
std::string_view ${EMBED_NAME}() { return {bytes, ${size}}; }
}  // namespace seamwright::embedded
")
  return()
endif()

set(SEAMWRIGHT_EMBED_SCRIPT "${CMAKE_CURRENT_LIST_FILE}")

function(seamwright_embed target name file)
  get_target_property(type ${target} TYPE)
  if(type STREQUAL "INTERFACE_LIBRARY")
    return()
  endif()
  get_filename_component(file_name "${file}" NAME)
  set(folder "${CMAKE_CURRENT_BINARY_DIR}/${target}_embedded")
  set(header "${folder}/embedded/${name}.h")
  set(source "${folder}/${name}.cpp")
  file(CONFIGURE OUTPUT "${header}" @ONLY CONTENT "#pragma once

#include <string_view>

namespace seamwright::embedded {
/// The bytes of ${file_name}, as they were when the program was built.
std::string_view ${name}();
}  // namespace seamwright::embedded
")
  add_custom_command(OUTPUT "${source}"
    COMMAND "${CMAKE_COMMAND}" "-DEMBED_FILE=${file}" "-DEMBED_NAME=${name}" "-DEMBED_OUTPUT=${source}"
            -P "${SEAMWRIGHT_EMBED_SCRIPT}"
    DEPENDS "${file}" "${SEAMWRIGHT_EMBED_SCRIPT}"
    COMMENT "Embedding ${name}"
    VERBATIM)
  target_sources(${target} PRIVATE "${source}")
  target_include_directories(${target} PRIVATE "${folder}")
endfunction()
