# The library as others find it: find_package(ductledger) gives ductledger::ductledger.
include(CMakePackageConfigHelpers)

set(package_folder ${CMAKE_INSTALL_LIBDIR}/cmake/ductledger)
target_include_directories(ductledger INTERFACE
  $<INSTALL_INTERFACE:${CMAKE_INSTALL_INCLUDEDIR}/ductledger>)
install(TARGETS ductledger EXPORT ductledger
        ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT development)
install(EXPORT ductledger NAMESPACE ductledger:: FILE ductledger-targets.cmake
        DESTINATION ${package_folder} COMPONENT development)
configure_package_config_file(
  ${CMAKE_CURRENT_LIST_DIR}/ductledger-config.cmake.in
  ${CMAKE_CURRENT_BINARY_DIR}/ductledger-config.cmake
  INSTALL_DESTINATION ${package_folder})
write_basic_package_version_file(
  ${CMAKE_CURRENT_BINARY_DIR}/ductledger-config-version.cmake COMPATIBILITY SameMinorVersion)
install(FILES ${CMAKE_CURRENT_BINARY_DIR}/ductledger-config.cmake
              ${CMAKE_CURRENT_BINARY_DIR}/ductledger-config-version.cmake
        DESTINATION ${package_folder} COMPONENT development)
install(DIRECTORY ${PROJECT_SOURCE_DIR}/examples/
        DESTINATION ${CMAKE_INSTALL_DATADIR}/ductledger/examples COMPONENT runtime)
install(DIRECTORY ${PROJECT_SOURCE_DIR}/docs/schema/
        DESTINATION ${CMAKE_INSTALL_DATADIR}/ductledger/schemas COMPONENT runtime)
