# Everything comes from the distribution's packages; scripts/setup.sh installs them.
find_package(Threads REQUIRED)
find_package(Eigen3 3.4 REQUIRED NO_MODULE)
find_package(Boost 1.74 REQUIRED)
find_package(fmt 9 REQUIRED)
find_package(nlohmann_json 3.11 REQUIRED)
find_path(TOMLPLUSPLUS_INCLUDE_DIR toml++/toml.h REQUIRED)
find_package(CLI11 2.1 REQUIRED)
find_package(HDF5 REQUIRED COMPONENTS C HL)
# Debian's names of these libraries are links in a folder of their own, which would become a search path of
# the program; the files stand where the loader looks anyhow.
foreach(library hdf5::hdf5 hdf5::hdf5_hl)
    get_target_property(location ${library} IMPORTED_LOCATION)
    if(location)
        file(REAL_PATH ${location} location)
        set_target_properties(${library} PROPERTIES IMPORTED_LOCATION ${location})
    endif()
endforeach()
find_package(NLopt 2.7 REQUIRED)

find_program(PLENAIR_CCACHE ccache)
if(PLENAIR_CCACHE AND NOT CMAKE_CXX_COMPILER_LAUNCHER)
    set(CMAKE_CXX_COMPILER_LAUNCHER ${PLENAIR_CCACHE})
endif()
