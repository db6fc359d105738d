# What the engine takes of other libraries: their headers, seen alone, since those of the machine
# beside them are for another target.
set(headers ${CMAKE_BINARY_DIR}/headers)
file(MAKE_DIRECTORY ${headers})
foreach(library boost fmt nlohmann)
  file(CREATE_LINK /usr/include/${library} ${headers}/${library} SYMBOLIC)
endforeach()
foreach(library Eigen unsupported)
  file(CREATE_LINK /usr/include/eigen3/${library} ${headers}/${library} SYMBOLIC)
endforeach()
foreach(target fmt::fmt Boost::headers Eigen3::Eigen nlohmann_json::nlohmann_json yaml-cpp TBB::tbb)
  add_library(${target} INTERFACE IMPORTED GLOBAL)
  target_include_directories(${target} SYSTEM INTERFACE ${headers})
endforeach()
add_compile_definitions(FMT_HEADER_ONLY FMT_EXCEPTIONS=0 JSON_NOEXCEPTION EIGEN_NO_IO)
# A fault of ours ends the engine, with its words: see `__cxa_throw`.
add_compile_options(-include ${CMAKE_CURRENT_LIST_DIR}/one_thread.hpp -fignore-exceptions -fvisibility=hidden -Wno-unused-command-line-argument)
