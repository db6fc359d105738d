# Writes the catalogue's files into one C++ source. Called as
#   cmake -DROOT=<fittings folder> -DOUTPUT=<file.cpp> -P embed.cmake
# Each text becomes raw string pieces below the length that every compiler takes; a file's kind,
# type or table name is its own line, so that the program knows what is where before reading it.
file(GLOB_RECURSE files RELATIVE ${ROOT} ${ROOT}/*.yaml)
list(SORT files)

set(piece_length 8000)
set(delimiter "catalogue")
set(texts "")
set(rows "")
set(index 0)
foreach(path IN LISTS files)
  file(READ ${ROOT}/${path} text)
  string(FIND "${text}" ")${delimiter}\"" clash)
  string(LENGTH "${text}" length)
  if(NOT clash EQUAL -1 OR length GREATER 60000)
    message(FATAL_ERROR "${path} cannot be embedded: too long, or it holds the delimiter")
  endif()
  foreach(key kind type table)
    set(${key} "")
    if("\n${text}" MATCHES "\n${key}: *([a-z0-9-]+)")
      set(${key} ${CMAKE_MATCH_1})
    endif()
  endforeach()
  string(APPEND texts "constexpr char kText${index}[] =")
  set(start 0)
  while(start LESS length)
    string(SUBSTRING "${text}" ${start} ${piece_length} piece)
    string(APPEND texts "\n    R\"${delimiter}(${piece})${delimiter}\"")
    math(EXPR start "${start} + ${piece_length}")
  endwhile()
  string(APPEND texts "\n    \"\";\n")
  string(APPEND rows
    "    {\"${path}\", \"${kind}\", \"${type}\", \"${table}\", {kText${index}, sizeof(kText${index}) - 1}},\n")
  math(EXPR index "${index} + 1")
endforeach()

file(WRITE ${OUTPUT}
"// Generated from fittings/ by embed.cmake.
#include <array>

#include \"fitting/embedded_internal.hpp\"

namespace ductledger::fitting {
namespace {

${texts}
constexpr std::array<EmbeddedFile, ${index}> kFiles{{
${rows}}};

}  // namespace

std::span<const EmbeddedFile> embedded_files() noexcept { return kFiles; }

}  // namespace ductledger::fitting
")
