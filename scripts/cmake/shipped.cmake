# The case files of cases/shipped inside the program, for plenair start --like.
file(GLOB shipped_files CONFIGURE_DEPENDS ${PROJECT_SOURCE_DIR}/cases/shipped/*/*.toml)
list(FILTER shipped_files EXCLUDE REGEX "measured\\.toml$")
list(SORT shipped_files)
set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS ${shipped_files})
set(shipped_entries "")
foreach(file IN LISTS shipped_files)
    get_filename_component(folder ${file} DIRECTORY)
    get_filename_component(name ${folder} NAME)
    get_filename_component(stem ${file} NAME_WE)
    if(NOT stem STREQUAL "case")
        set(name ${name}/${stem})
    endif()
    # Brackets and semicolons of TOML must not become a list of CMake.
    file(READ ${file} text HEX)
    string(REGEX REPLACE "(..)" "\\\\x\\1" text "${text}")
    string(REGEX REPLACE "((\\\\x..)(\\\\x..)(\\\\x..)(\\\\x..)(\\\\x..)(\\\\x..)(\\\\x..)(\\\\x..))"
        "\\1\"\n        \"" text "${text}")
    string(APPEND shipped_entries "    {\"${name}\",\n        \"${text}\"},\n")
endforeach()
set(shipped_source ${PROJECT_BINARY_DIR}/generated/shipped.cpp)
file(CONFIGURE OUTPUT ${shipped_source} @ONLY CONTENT "#include \"cases/command/shipped.hpp\"

#include <array>

namespace plenair::command {

std::span<const ShippedCase> shipped_cases() {
    static constexpr auto all = std::to_array<ShippedCase>({
${shipped_entries}    });
    return all;
}

}  // namespace plenair::command
")
