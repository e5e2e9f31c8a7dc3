# Puts the page inside the program: builds it with tools/web.sh and embeds every file of the folder that comes out.
#
#   seamwright_embed_page(app)
#
# gives the sources of `app` (and nobody else)
#
#   #include "embedded/page_files.h"
#   for (const auto& file : seamwright::embedded::page_files()) …
#
# Call it after seamwright_room(). SEAMWRIGHT_PAGE names a folder with a page that was built already; then it is taken
# as it is. The list of files is written by this same file, run as a script at build time; the bytes come in by the
# assembler's .incbin, since a megabyte written out as numbers takes the compiler seconds.

if(CMAKE_SCRIPT_MODE_FILE)
  cmake_policy(VERSION 3.25)
  file(GLOB_RECURSE files RELATIVE "${PAGE_FOLDER}" "${PAGE_FOLDER}/*")
  list(SORT files)
  if(NOT "index.html" IN_LIST files OR NOT "shop.html" IN_LIST files)
    message(FATAL_ERROR "There is no index.html or no shop.html in ${PAGE_FOLDER}: the page was not built.")
  endif()
  set(blocks "")
  set(entries "")
  set(declarations "")
  set(number 0)
  foreach(file IN LISTS files)
    # Only these are known to the page; anything else in the folder is a mistake that must not be served.
    string(REGEX MATCH "[^.]*$" ending "${file}")
    if(ending STREQUAL "html")
      set(type "text/html; charset=utf-8")
    elseif(ending STREQUAL "js")
      set(type "text/javascript; charset=utf-8")
    elseif(ending STREQUAL "css")
      set(type "text/css; charset=utf-8")
    elseif(ending STREQUAL "svg")
      set(type "image/svg+xml")
    elseif(ending STREQUAL "png")
      set(type "image/png")
    elseif(ending STREQUAL "woff2")
      set(type "font/woff2")
    elseif(ending STREQUAL "json" OR ending STREQUAL "webmanifest")
      set(type "application/json")
    else()
      message(FATAL_ERROR "${file}: the program does not know how to serve this kind of file.")
    endif()
    if(NOT file MATCHES "^[A-Za-z0-9_./-]+$")
      message(FATAL_ERROR "${file}: files of the page have plain names.")
    endif()
    file(SHA256 "${PAGE_FOLDER}/${file}" fingerprint)
    string(APPEND blocks "asm(\".section .rodata\\n.balign 16\\npage_file_${number}:\\n\"
    \".incbin \\\"${PAGE_FOLDER}/${file}\\\"\\npage_file_${number}_end:\\n.byte 0\\n.previous\\n\");
")
    string(APPEND declarations "extern const char page_file_${number}[];
extern const char page_file_${number}_end[];
")
    string(APPEND entries "        {\"/${file}\", \"${type}\", \"${fingerprint}\",
         {page_file_${number}, static_cast<std::size_t>(page_file_${number}_end - page_file_${number})}},
")
    math(EXPR number "${number} + 1")
  endforeach()
  file(WRITE "${PAGE_OUTPUT}" "#include \"embedded/page_files.h\"

#include <cstddef>

${blocks}
extern \"C\" {
${declarations}}

namespace seamwright::embedded {
const std::vector<PageFile>& page_files() {
    static const std::vector<PageFile> files = {
${entries}    };
    return files;
}
}  // namespace seamwright::embedded
")
  return()
endif()

set(SEAMWRIGHT_PAGE "" CACHE PATH "Folder with the page, built already; empty: tools/web.sh builds it")
set(SEAMWRIGHT_EMBED_PAGE_SCRIPT "${CMAKE_CURRENT_LIST_FILE}")

function(seamwright_embed_page target)
  set(folder "${CMAKE_CURRENT_BINARY_DIR}/${target}_embedded")
  set(source "${folder}/page_files.cpp")
  file(CONFIGURE OUTPUT "${folder}/embedded/page_files.h" @ONLY CONTENT "#pragma once

#include <string_view>
#include <vector>

namespace seamwright::embedded {
struct PageFile {
    std::string_view path;         ///< \"/index.html\"
    std::string_view type;         ///< for Content-Type
    std::string_view fingerprint;  ///< SHA-256 of the bytes, in hexadecimal
    std::string_view bytes;
};
/// All files of the page, as they were when the program was built, sorted by path.
const std::vector<PageFile>& page_files();
}  // namespace seamwright::embedded
")
  if(SEAMWRIGHT_PAGE)
    set(page "${SEAMWRIGHT_PAGE}")
    set(build_page "${CMAKE_COMMAND}" -E true)
    file(GLOB_RECURSE page_sources CONFIGURE_DEPENDS "${page}/*")
  else()
    set(page "${CMAKE_CURRENT_BINARY_DIR}/page")
    set(build_page "${CMAKE_SOURCE_DIR}/tools/web.sh" "${page}")
    file(GLOB page_sources CONFIGURE_DEPENDS "${CMAKE_SOURCE_DIR}/web/*.html" "${CMAKE_SOURCE_DIR}/web/*.ts"
         "${CMAKE_SOURCE_DIR}/web/*.json" "${CMAKE_SOURCE_DIR}/web/.npmrc")
    file(GLOB_RECURSE deeper CONFIGURE_DEPENDS "${CMAKE_SOURCE_DIR}/web/src/*" "${CMAKE_SOURCE_DIR}/web/public/*")
    list(APPEND page_sources ${deeper} "${CMAKE_SOURCE_DIR}/tools/web.sh")
  endif()
  add_custom_command(OUTPUT "${source}"
    COMMAND ${build_page}
    COMMAND "${CMAKE_COMMAND}" "-DPAGE_FOLDER=${page}" "-DPAGE_OUTPUT=${source}" -P "${SEAMWRIGHT_EMBED_PAGE_SCRIPT}"
    DEPENDS ${page_sources} "${SEAMWRIGHT_EMBED_PAGE_SCRIPT}"
    COMMENT "Building the page"
    VERBATIM)
  target_sources(${target} PRIVATE "${source}")
  target_include_directories(${target} PRIVATE "${folder}")
endfunction()
