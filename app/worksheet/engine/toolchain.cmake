# The worksheet's engine is WebAssembly made by Debian's clang 19 with its C++ library for it: the
# oldest at hand that knows std::ranges.
set(CMAKE_SYSTEM_NAME Generic)
set(CMAKE_SYSTEM_PROCESSOR wasm32)
set(CMAKE_CXX_COMPILER clang++-19)
set(CMAKE_CXX_COMPILER_TARGET wasm32-wasi)
set(CMAKE_CXX_COMPILER_WORKS ON)  # a program of its own is not linked the way CMake tries it
set(CMAKE_FIND_ROOT_PATH_MODE_PROGRAM NEVER)
