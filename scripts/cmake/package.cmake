# cmake --build build/release --target package: plenair_<version>_<machine>.deb with the program and
# plenair-dev_<version>_<machine>.deb with what find_package(plenair) needs. Two builds of one commit
# give the same bytes: every file carries the time of the commit (package_time.cmake).
set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME plenair)
set(CPACK_PACKAGE_VENDOR "plenair contributors")
set(CPACK_PACKAGE_CONTACT "plenair contributors <contributors@plenair.invalid>")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_SET_DESTDIR OFF)
set(CPACK_STRIP_FILES ON)
set(CPACK_COMPONENTS_ALL program development python)
set(CPACK_COMPONENTS_GROUPING IGNORE)
set(CPACK_THREADS 1)
set(CPACK_INSTALL_DEFAULT_DIRECTORY_PERMISSIONS OWNER_READ OWNER_WRITE OWNER_EXECUTE GROUP_READ
    GROUP_EXECUTE WORLD_READ WORLD_EXECUTE)
set(CPACK_PROJECT_CONFIG_FILE ${PROJECT_SOURCE_DIR}/scripts/cmake/package_time.cmake)
set(CPACK_PRE_BUILD_SCRIPTS ${PROJECT_SOURCE_DIR}/scripts/cmake/package_files.cmake)
set(CPACK_PLENAIR_SOURCE_DIR ${PROJECT_SOURCE_DIR})

set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION science)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_NAME plenair)
set(CPACK_COMPONENT_PROGRAM_DESCRIPTION "Computes, from the drawing, how throttle, pre-chamber, metering slot, plenum
and runners of an engine share the air between its cylinders, what that costs
in flow, and how far the numbers can be trusted.")
find_program(PLENAIR_SHLIBDEPS dpkg-shlibdeps)
if(PLENAIR_SHLIBDEPS)
    set(CPACK_DEBIAN_PROGRAM_PACKAGE_SHLIBDEPS ON)
endif()
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_NAME plenair-dev)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_SECTION libdevel)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_DEPENDS
    "cmake, libeigen3-dev, libboost-dev, libfmt-dev, nlohmann-json3-dev, libhdf5-dev, libnlopt-dev")
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_SUGGESTS plenair)
set(CPACK_COMPONENT_DEVELOPMENT_DESCRIPTION "For programs that compute with plenair: the C++ headers, the static libraries
and what find_package(plenair) of CMake needs.")
set(CPACK_DEBIAN_PYTHON_PACKAGE_NAME python3-plenair)
set(CPACK_DEBIAN_PYTHON_PACKAGE_SECTION python)
set(CPACK_DEBIAN_PYTHON_PACKAGE_ARCHITECTURE all)
set(CPACK_DEBIAN_PYTHON_PACKAGE_DEPENDS "python3:any, python3-h5py, python3-xarray, plenair")
set(CPACK_DEBIAN_PYTHON_PACKAGE_SUGGESTS python3-matplotlib)  # its figures
set(CPACK_DEBIAN_PYTHON_PACKAGE_CONTROL_EXTRA ${PROJECT_SOURCE_DIR}/scripts/cmake/python/postinst
    ${PROJECT_SOURCE_DIR}/scripts/cmake/python/prerm)
set(CPACK_COMPONENT_PYTHON_DESCRIPTION "plenair from Python: solves cases given as path, text or dictionary and gives
labelled arrays (xarray) with units.")

include(CPack)
