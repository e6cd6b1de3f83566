#include "cases/store/grid_reader.hpp"

#include "cases/store/file_seal.hpp"
#include "cases/study/error.hpp"
#include "cases/study/no_file.hpp"

#include <fmt/format.h>
#include <hdf5.h>

#include <array>
#include <cerrno>
#include <cstdint>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <numeric>
#include <string_view>
#include <system_error>

namespace plenair {

namespace {

std::size_t count_of(const std::vector<std::size_t>& extents) {
    return std::accumulate(extents.begin(), extents.end(), std::size_t{1}, std::multiplies<>());
}

/// How the library is to read a file: all at once, for it does not survive every read that fails
/// later (1.10.8 frees what it has not yet set). A file that is too large for that is read in
/// pieces.
Handle access_to(const std::string& path) {
    constexpr std::uintmax_t largest = 1000000000;
    constexpr std::size_t step = std::size_t{1} << 20U;
    Handle access(H5Pcreate(H5P_FILE_ACCESS), H5Pclose);
    std::error_code failed;
    if (std::filesystem::file_size(path, failed) <= largest && !failed) {
        H5Pset_fapl_core(access.id(), step, false);
    }
    return access;
}

}  // namespace

GridReader::GridReader(std::string path) : path_(std::move(path)) {
    if (const auto reason = no_file_reason(path_); !reason.empty()) {
        throw ReadError(fmt::format("{}: cannot read: {}", path_, reason));
    }
    // A pipe would be waited for, and the library goes back and forth in its file.
    std::error_code failed;
    if (std::filesystem::is_fifo(path_, failed)) {
        throw ReadError(fmt::format("{}: is a pipe; name the file itself, or use .json", path_));
    }
    std::FILE* probe = std::fopen(path_.c_str(), "rb");
    if (probe == nullptr) {
        throw ReadError(fmt::format("{}: cannot read: {}", path_, std::strerror(errno)));
    }
    constexpr std::string_view signature = "\x89HDF\r\n\x1a\n";
    std::array<char, signature.size()> head{};
    errno = 0;
    const std::size_t got = std::fread(head.data(), 1, head.size(), probe);
    std::fclose(probe);
    if (got == 0 && errno != 0) {
        throw ReadError(fmt::format("{}: cannot read: {}", path_, std::strerror(errno)));
    }
    if (std::string_view(head.data(), got) != signature) {
        throw ReadError(
            fmt::format("{}: not an HDF5 file; name a file written by solve -o", path_));
    }
    expect_seal(path_);  // before the library sees it
    const Handle access = access_to(path_);
    file_ = Handle(H5Fopen(path_.c_str(), H5F_ACC_RDONLY, access.id()), H5Fclose);
    if (!file_.valid()) {
        throw ReadError(
            fmt::format("{}: cannot read: the disk or the memory failed; try again, or "
                        "copy the file",
                        path_));
    }
}

void GridReader::require(bool good, const std::string& what) const {
    if (!good) throw ReadError(fmt::format("{}: {} is missing or damaged", path_, what));
}

std::string GridReader::text_of(const Handle& object, const std::string& name) const {
    const Handle attribute(H5Aopen(object.id(), name.c_str(), H5P_DEFAULT), H5Aclose);
    require(attribute.valid(), "attribute " + name);
    const Handle stored(H5Aget_type(attribute.id()), H5Tclose);
    require(H5Tis_variable_str(stored.id()) > 0, "text of attribute " + name);
    const Handle type = string_type();
    char* characters = nullptr;
    require(H5Aread(attribute.id(), type.id(), &characters) >= 0, "attribute " + name);
    std::string text = characters == nullptr ? "" : characters;
    H5free_memory(characters);
    return text;
}

std::string GridReader::text_attribute(const std::string& name) const {
    const Handle root(H5Gopen2(file_.id(), "/", H5P_DEFAULT), H5Gclose);
    return text_of(root, name);
}

std::string GridReader::text_attribute(const std::string& dataset, const std::string& name) const {
    const Handle object = open(dataset);
    // Neither there nor missing where HDF5 lacked memory to look.
    const htri_t there = H5Aexists(object.id(), name.c_str());
    require(there >= 0, "attribute " + name + " of dataset " + dataset);
    return there > 0 ? text_of(object, name) : "";
}

int GridReader::int_attribute(const std::string& name) const {
    const Handle attribute(H5Aopen(file_.id(), name.c_str(), H5P_DEFAULT), H5Aclose);
    int value = 0;
    require(attribute.valid() && H5Aread(attribute.id(), H5T_NATIVE_INT, &value) >= 0,
            "attribute " + name);
    return value;
}

Handle GridReader::open(const std::string& name) const {
    Handle dataset(H5Dopen2(file_.id(), name.c_str(), H5P_DEFAULT), H5Dclose);
    require(dataset.valid(), "dataset " + name);
    return dataset;
}

bool GridReader::has(const std::string& name) const {
    const htri_t there = H5Lexists(file_.id(), name.c_str(), H5P_DEFAULT);
    require(there >= 0, "the list of datasets");
    return there > 0;
}

bool GridReader::is_number(const std::string& name) const {
    const Handle dataset = open(name);
    const Handle type(H5Dget_type(dataset.id()), H5Tclose);
    const H5T_class_t kind = H5Tget_class(type.id());
    require(kind != H5T_NO_CLASS, "type of dataset " + name);
    return kind == H5T_FLOAT;
}

std::vector<std::size_t> GridReader::extents(const std::string& name) const {
    const Handle dataset = open(name);
    const Handle space(H5Dget_space(dataset.id()), H5Sclose);
    const int rank = H5Sget_simple_extent_ndims(space.id());
    require(rank >= 0, "shape of dataset " + name);
    std::vector<hsize_t> sizes(static_cast<std::size_t>(rank));
    require(H5Sget_simple_extent_dims(space.id(), sizes.data(), nullptr) >= 0,
            "shape of dataset " + name);
    return {sizes.begin(), sizes.end()};
}

std::vector<double> GridReader::doubles(const std::string& name) const {
    std::vector<double> values(count_of(extents(name)));
    const Handle dataset = open(name);
    require(
        H5Dread(dataset.id(), H5T_NATIVE_DOUBLE, H5S_ALL, H5S_ALL, H5P_DEFAULT, values.data()) >= 0,
        "dataset " + name);
    return values;
}

std::vector<int> GridReader::ints(const std::string& name) const {
    std::vector<int> values(count_of(extents(name)));
    const Handle dataset = open(name);
    require(
        H5Dread(dataset.id(), H5T_NATIVE_INT, H5S_ALL, H5S_ALL, H5P_DEFAULT, values.data()) >= 0,
        "dataset " + name);
    return values;
}

std::vector<std::string> GridReader::strings(const std::string& name) const {
    std::vector<char*> characters(count_of(extents(name)), nullptr);
    const Handle dataset = open(name);
    const Handle type = string_type();
    require(H5Dread(dataset.id(), type.id(), H5S_ALL, H5S_ALL, H5P_DEFAULT, characters.data()) >= 0,
            "dataset " + name);
    std::vector<std::string> values;
    for (char* text : characters) {
        values.emplace_back(text == nullptr ? "" : text);
        H5free_memory(text);
    }
    return values;
}

std::vector<std::string> GridReader::names() const {
    std::vector<std::string> found;
    const auto add = [](hid_t, const char* name, const H5L_info_t*, void* list) -> herr_t {
        static_cast<std::vector<std::string>*>(list)->emplace_back(name);
        return 0;
    };
    require(H5Literate(file_.id(), H5_INDEX_CRT_ORDER, H5_ITER_INC, nullptr, add, &found) >= 0,
            "the list of datasets");
    return found;
}

}  // namespace plenair
