# Two Debian packages: the program with its manual page, completions and examples, and what a
# program that links the library needs. `cmake --build build/release --target package` writes them.
set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME ductledger)
set(CPACK_PACKAGE_VENDOR "The ductledger authors")
set(CPACK_PACKAGE_CONTACT "The ductledger authors <ductledger@ductledger.invalid>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "delivered airflow of an exhaust duct run, piece by piece")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_COMPONENTS_ALL runtime development)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_RELEASE 1)
set(CPACK_DEBIAN_PACKAGE_CONTROL_STRICT_PERMISSION ON)

set(CPACK_COMPONENT_RUNTIME_DESCRIPTION
    "Sums the pressure that a duct run costs, crosses it with the fan's curve and\n\
tells the airflow that is delivered, with its uncertainty and what rules ask.\n\
It replaces no code, authority or licensed practice.")
set(CPACK_DEBIAN_RUNTIME_PACKAGE_NAME ductledger)
set(CPACK_DEBIAN_RUNTIME_PACKAGE_SECTION science)
set(CPACK_DEBIAN_RUNTIME_PACKAGE_SHLIBDEPS ON)

set(CPACK_COMPONENT_DEVELOPMENT_DESCRIPTION
    "The library of ductledger for programs of one's own: a static library, its\n\
headers, and what find_package(ductledger) reads.")
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_NAME libductledger-dev)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_SECTION libdevel)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_DEPENDS
    "libboost-dev, libeigen3-dev, libfmt-dev, libtbb-dev, libyaml-cpp-dev, nlohmann-json3-dev")

# What Debian's policy asks of each package. gzip without names and times: the same bytes each time.
find_program(GZIP gzip)
if(GZIP)
  foreach(text changelog changelog.Debian)
    if(text STREQUAL changelog)
      set(source ${PROJECT_SOURCE_DIR}/docs/changes.md)
    else()
      set(source ${CMAKE_CURRENT_LIST_DIR}/changelog.debian)
    endif()
    set(packed ${CMAKE_CURRENT_BINARY_DIR}/packaging/${text}.gz)
    file(MAKE_DIRECTORY ${CMAKE_CURRENT_BINARY_DIR}/packaging)
    add_custom_command(OUTPUT ${packed} COMMAND ${GZIP} -9nc ${source} > ${packed}
      DEPENDS ${source} VERBATIM)
    list(APPEND packed_texts ${packed})
  endforeach()
  add_custom_target(ductledger_packaging ALL DEPENDS ${packed_texts})
  foreach(package_component "ductledger;runtime" "libductledger-dev;development")
    list(GET package_component 0 package)
    list(GET package_component 1 component)
    install(FILES ${packed_texts} DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/${package}
            COMPONENT ${component})
    install(FILES ${CMAKE_CURRENT_LIST_DIR}/copyright
            DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/${package} COMPONENT ${component})
  endforeach()
endif()

# What is linked, as an SPDX document; its date is SOURCE_DATE_EPOCH where that is set.
file(READ ${PROJECT_SOURCE_DIR}/app/worksheet/package.json worksheet_packages)
foreach(package preact yaml)
  string(JSON ${package}_VERSION GET ${worksheet_packages} dependencies ${package})
endforeach()
string(TIMESTAMP DUCTLEDGER_SBOM_DATE "%Y-%m-%dT%H:%M:%SZ" UTC)
configure_file(${CMAKE_CURRENT_LIST_DIR}/ductledger.spdx.json.in
               ${CMAKE_CURRENT_BINARY_DIR}/packaging/ductledger.spdx.json @ONLY)
install(FILES ${CMAKE_CURRENT_BINARY_DIR}/packaging/ductledger.spdx.json
        DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/ductledger COMPONENT runtime)

include(CPack)
