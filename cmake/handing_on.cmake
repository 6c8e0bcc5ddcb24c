# What `cmake --install` lays down and CPack packs, in two parts: the program with all that a user needs, and the kernels
# (frame, cutting, assembly) as libraries for programs of others.
include(GNUInstallDirs)
set(share ${CMAKE_INSTALL_DATADIR}/garthwright)
set(doc ${CMAKE_INSTALL_DATADIR}/doc/garthwright)

# ---- the program ----------------------------------------------------------------------------------------------------

install(TARGETS garthwright COMPONENT program)
if(NOT GARTHWRIGHT_SANITIZE)
  # Not among the libraries of the system: it is of this program alone, which looks for it there.
  install(TARGETS garthwright_heavy LIBRARY DESTINATION libexec/garthwright COMPONENT program)
endif()
install(DIRECTORY patterns catalogues examples DESTINATION ${share} COMPONENT program)
install(FILES docs/plan.schema.json docs/forces.schema.json docs/openapi.json docs/rates.toml DESTINATION ${share}
        COMPONENT program)
file(GLOB pages docs/*.md docs/*.svg)
install(FILES README.md ${pages} DESTINATION ${doc} COMPONENT program)
# `./dev manual` builds it, and `./dev package` asks for it; without, the pages above are all there is.
# The program hands it out, so it lies where the program may look; people look for it among the documents.
install(DIRECTORY ${CMAKE_SOURCE_DIR}/build/manual DESTINATION ${share} COMPONENT program OPTIONAL)
install(CODE "
  if(EXISTS \"${CMAKE_SOURCE_DIR}/build/manual\")
    set(doc \"\$ENV{DESTDIR}\${CMAKE_INSTALL_PREFIX}/${doc}\")
    file(MAKE_DIRECTORY \"\${doc}\")
    file(CREATE_LINK ../../garthwright/manual \"\${doc}/manual\" SYMBOLIC)
  endif()" COMPONENT program)
install(FILES LICENSE DESTINATION ${share} COMPONENT program)
install(FILES ${CMAKE_BINARY_DIR}/licences.txt ${CMAKE_BINARY_DIR}/garthwright.cdx.json DESTINATION ${doc} COMPONENT program)

# The manual page and the completions are what the program says of itself (src/cli/CMakeLists.txt).
if(NOT GARTHWRIGHT_SANITIZE)
  set(told ${CMAKE_BINARY_DIR}/told)
  install(FILES ${told}/garthwright.1.gz DESTINATION ${CMAKE_INSTALL_MANDIR}/man1 COMPONENT program)
  install(FILES ${told}/garthwright DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions COMPONENT program)
  install(FILES ${told}/_garthwright DESTINATION ${CMAKE_INSTALL_DATADIR}/zsh/vendor-completions COMPONENT program)
  install(FILES ${told}/garthwright.fish DESTINATION ${CMAKE_INSTALL_DATADIR}/fish/vendor_completions.d COMPONENT program)
endif()

# ---- the kernels ----------------------------------------------------------------------------------------------------

set(kernels base frame cutting assembly)
foreach(room IN LISTS kernels)
  set_target_properties(gw_${room} PROPERTIES EXPORT_NAME ${room} OUTPUT_NAME garthwright_${room})
  target_include_directories(gw_${room} INTERFACE $<INSTALL_INTERFACE:${CMAKE_INSTALL_INCLUDEDIR}/garthwright>)
  target_compile_features(gw_${room} INTERFACE cxx_std_20)
  install(TARGETS gw_${room} EXPORT garthwright ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR} COMPONENT kernels)
  install(DIRECTORY src/${room} DESTINATION ${CMAKE_INSTALL_INCLUDEDIR}/garthwright COMPONENT kernels
          FILES_MATCHING PATTERN "*.h" PATTERN "*_for_tests.h" EXCLUDE PATTERN "test_shapes.h" EXCLUDE)
endforeach()
set(cmake_folder ${CMAKE_INSTALL_LIBDIR}/cmake/garthwright)
install(EXPORT garthwright NAMESPACE garthwright:: FILE garthwright-targets.cmake DESTINATION ${cmake_folder} COMPONENT kernels)
include(CMakePackageConfigHelpers)
configure_package_config_file(packaging/garthwright-config.cmake.in ${CMAKE_BINARY_DIR}/garthwright-config.cmake
                              INSTALL_DESTINATION ${cmake_folder})
write_basic_package_version_file(${CMAKE_BINARY_DIR}/garthwright-config-version.cmake VERSION ${PROJECT_VERSION}
                                 COMPATIBILITY SameMinorVersion)
install(FILES ${CMAKE_BINARY_DIR}/garthwright-config.cmake ${CMAKE_BINARY_DIR}/garthwright-config-version.cmake
        DESTINATION ${cmake_folder} COMPONENT kernels)
file(RELATIVE_PATH PC_UP /prefix/${CMAKE_INSTALL_DATADIR}/pkgconfig /prefix)
foreach(room frame cutting assembly)
  set(PC_ROOM ${room})
  set(PC_NEEDS "fmt")
  set(PC_ABOUT "exact cutting of lengths at least cost")
  if(room STREQUAL frame)
    set(PC_NEEDS "fmt eigen3")
    set(PC_ABOUT "space frames by the stiffness method, with contacts that push only")
  elseif(room STREQUAL assembly)
    set(PC_ABOUT "orders in which convex solids can be put together")
  endif()
  configure_file(packaging/kernel.pc.in ${CMAKE_BINARY_DIR}/garthwright-${room}.pc @ONLY)
  install(FILES ${CMAKE_BINARY_DIR}/garthwright-${room}.pc DESTINATION ${CMAKE_INSTALL_DATADIR}/pkgconfig COMPONENT kernels)
endforeach()
install(DIRECTORY docs/kernels/ DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/garthwright-kernels-dev/examples COMPONENT kernels)

# ---- packages: cpack -G DEB, cpack -G TZST --------------------------------------------------------------------------

set(CPACK_PACKAGE_NAME garthwright)
set(CPACK_PACKAGE_VERSION ${GARTHWRIGHT_VERSION})
set(CPACK_PACKAGE_VENDOR "The makers of Garthwright")
set(CPACK_PACKAGE_CONTACT "The makers of Garthwright <makers@garthwright.example>")
set(CPACK_STRIP_FILES ON)
set(CPACK_THREADS 0)
set(CPACK_COMPONENTS_ALL program kernels)
set(CPACK_COMPONENTS_GROUPING IGNORE)
set(CPACK_ARCHIVE_COMPONENT_INSTALL ON)
set(CPACK_ARCHIVE_PROGRAM_FILE_NAME garthwright-${GARTHWRIGHT_VERSION}-${CMAKE_SYSTEM_PROCESSOR})
set(CPACK_ARCHIVE_KERNELS_FILE_NAME garthwright-kernels-${GARTHWRIGHT_VERSION}-${CMAKE_SYSTEM_PROCESSOR})
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_NAME garthwright)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SECTION science)
set(CPACK_DEBIAN_PROGRAM_DESCRIPTION "planner for timber garden structures
From a short job file Garthwright plans an arbor, pergola or fence: cut
lengths and machining of each piece, the least-cost purchase of timber,
marking out, indicative checks of strength and ground, an order of work,
and sheets to print. A page in the browser shows the same plan live.")
set(CPACK_DEBIAN_KERNELS_PACKAGE_NAME garthwright-kernels-dev)
set(CPACK_DEBIAN_KERNELS_PACKAGE_SECTION libdevel)
set(CPACK_DEBIAN_KERNELS_PACKAGE_DEPENDS "libfmt-dev, libeigen3-dev, libexpected-dev, nlohmann-json3-dev")
set(CPACK_DEBIAN_KERNELS_DESCRIPTION "frame, cutting and assembly kernels for C++20
Three libraries with their headers, a CMake package and pkg-config files:
space frames with contacts, exact cutting of lengths at least cost, and
orders in which solids can be put together.")
# Lintian asks each package for these two beside its files.
foreach(package garthwright garthwright-kernels-dev)
  set(PACKAGE ${package})
  configure_file(packaging/debian_changelog.in ${CMAKE_BINARY_DIR}/debian/${package}/changelog @ONLY)
  execute_process(COMMAND gzip -9nf ${CMAKE_BINARY_DIR}/debian/${package}/changelog)
  set(part program)
  if(package MATCHES kernels)
    set(part kernels)
  endif()
  install(FILES ${CMAKE_BINARY_DIR}/debian/${package}/changelog.gz DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/${package} COMPONENT ${part})
  install(FILES packaging/debian_copyright DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/${package} RENAME copyright COMPONENT ${part})
endforeach()
include(CPack)
