# Makes files part of the program:
#
#   garthwright_embed(<out.cc> PAGE <folder> EXAMPLES <folder> OPENAPI <file> NOTICES <file>)
#
# Writes a C++ file for src/server/embedded.h. The assembler takes the bytes in (.incbin); of the page, names and bytes
# are those of web/dist/ when CMake last ran, and CMake runs again when the page's file list changes.
function(garthwright_embed out)
  cmake_parse_arguments(EMBED "" "PAGE;EXAMPLES;OPENAPI;NOTICES" "" ${ARGN})
  set(symbols 0)
  set(assembly "")
  set(depends "")

  function(embed_list variable folder prefix)
    set(rows "")
    set(files "")
    # Also where the folder is not there yet: CMake looks again when it is.
    file(GLOB_RECURSE files CONFIGURE_DEPENDS LIST_DIRECTORIES false RELATIVE "${folder}" "${folder}/*")
    list(FILTER files EXCLUDE REGEX "\\.map$")
    list(SORT files)
    set(count ${symbols})
    set(text "${assembly}")
    set(needs ${depends})
    foreach(file ${files})
      string(APPEND text "EMBED(gw_embedded_${count}, \"${folder}/${file}\")\n")
      string(APPEND rows "    {\"${prefix}${file}\", bytes(gw_embedded_${count}, gw_embedded_${count}_end)},\n")
      list(APPEND needs "${folder}/${file}")
      math(EXPR count "${count} + 1")
    endforeach()
    set(symbols ${count} PARENT_SCOPE)
    set(assembly "${text}" PARENT_SCOPE)
    set(depends ${needs} PARENT_SCOPE)
    list(LENGTH files length)
    set(${variable} "${rows}" PARENT_SCOPE)
    set(${variable}_count ${length} PARENT_SCOPE)
  endfunction()

  embed_list(page "${EMBED_PAGE}" "/")
  embed_list(examples "${EMBED_EXAMPLES}" "")
  string(APPEND assembly "EMBED(gw_embedded_openapi, \"${EMBED_OPENAPI}\")\n")
  string(APPEND assembly "EMBED(gw_embedded_notices, \"${EMBED_NOTICES}\")\n")
  list(APPEND depends "${EMBED_OPENAPI}" "${EMBED_NOTICES}")

  # std::array of no elements takes no initialiser, hence the span of a pointer and a count.
  string(CONCAT text "// Written by cmake/embed.cmake.\n"
    "#include \"server/embedded.h\"\n\n"
    "#define EMBED(symbol, file) \\\n"
    "  __asm__(\".section .rodata\\n.balign 16\\n.global \" #symbol \"\\n\" #symbol \":\\n.incbin \\\"\" file \"\\\"\\n\" \\\n"
    "          \".global \" #symbol \"_end\\n\" #symbol \"_end:\\n.byte 0\\n.previous\\n\"); \\\n"
    "  extern \"C\" { extern const char symbol[]; extern const char symbol##_end[]; }\n"
    "${assembly}\n"
    "namespace garthwright::server {\n\n"
    "static std::string_view bytes(const char* from, const char* to) {\n"
    "  return {from, static_cast<std::size_t>(to - from)};\n}\n\n"
    "std::span<const EmbeddedFile> page_files() {\n"
    "  static const EmbeddedFile files[] = {\n${page}    {}};\n  return {files, ${page_count}};\n}\n\n"
    "std::span<const EmbeddedFile> example_files() {\n"
    "  static const EmbeddedFile files[] = {\n${examples}    {}};\n  return {files, ${examples_count}};\n}\n\n"
    "std::string_view openapi_document() {\n"
    "  return bytes(gw_embedded_openapi, gw_embedded_openapi_end);\n}\n\n"
    "std::string_view licence_notices() {\n"
    "  return bytes(gw_embedded_notices, gw_embedded_notices_end);\n}\n\n"
    "}  // namespace garthwright::server\n")
  file(CONFIGURE OUTPUT "${out}" CONTENT "${text}" @ONLY)
  # By itself, so that it is compiled anew when a file in it changes: of a joined source the dependence is lost.
  set_source_files_properties("${out}" PROPERTIES OBJECT_DEPENDS "${depends}" SKIP_UNITY_BUILD_INCLUSION ON)
endfunction()
