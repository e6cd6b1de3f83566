# find_package(plenair) afterwards offers plenair::plenair.
include(CMakePackageConfigHelpers)

if(TARGET plenair)
    install(TARGETS plenair RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR})
endif()
install(TARGETS plenair_geometry plenair_solver plenair_cases plenair_all EXPORT plenair_targets
    ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR})
install(DIRECTORY geometry solver cases DESTINATION ${CMAKE_INSTALL_INCLUDEDIR}/plenair
    FILES_MATCHING PATTERN "*.hpp" PATTERN "shipped" EXCLUDE PATTERN "command" EXCLUDE)

set(config_dir ${CMAKE_INSTALL_LIBDIR}/cmake/plenair)
install(EXPORT plenair_targets NAMESPACE plenair:: DESTINATION ${config_dir})
configure_package_config_file(${PROJECT_SOURCE_DIR}/scripts/cmake/plenairConfig.cmake.in
    ${PROJECT_BINARY_DIR}/generated/plenairConfig.cmake INSTALL_DESTINATION ${config_dir})
write_basic_package_version_file(${PROJECT_BINARY_DIR}/generated/plenairConfigVersion.cmake
    COMPATIBILITY SameMinorVersion)
install(FILES ${PROJECT_BINARY_DIR}/generated/plenairConfig.cmake
    ${PROJECT_BINARY_DIR}/generated/plenairConfigVersion.cmake DESTINATION ${config_dir})
