#include "cases/store/grid_writer.hpp"

#include "cases/store/file_seal.hpp"
#include "cases/store/whole_file.hpp"
#include "cases/study/error.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <hdf5.h>
#include <hdf5_hl.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <filesystem>
#include <limits>
#include <system_error>
#include <vector>

namespace plenair {

namespace {

/// The reason in the system's words, where no file of that size can be made there. HDF5 does not
/// tell it, and 1.10.8 crashes at the end of the program where a disk filled under it.
void expect_room(const std::string& path, const std::string& beside, std::size_t bytes) {
    const int probe = ::open(beside.c_str(), O_RDWR | O_CREAT | O_TRUNC | O_CLOEXEC, 0666);
    int reason = probe < 0 ? errno : ::posix_fallocate(probe, 0, static_cast<off_t>(bytes));
    if (probe >= 0) {
        ::close(probe);
    }
    if (reason == EOPNOTSUPP || reason == EINVAL) {
        reason = 0;  // A file system that cannot reserve.
    }
    // Nothing stays while HDF5 works: it ends the program at some failed allocations (1.10.8).
    ::unlink(beside.c_str());
    if (reason != 0) {
        throw WriteError(fmt::format("{}: cannot write: {}", path, std::strerror(reason)));
    }
}

constexpr unsigned ordered = H5P_CRT_ORDER_TRACKED | H5P_CRT_ORDER_INDEXED;

/// Up to here a file is made in memory and written by ourselves: HDF5 (1.10.8) passes over writes
/// that fail and does not survive a failing close.
constexpr std::size_t most_in_memory = std::size_t{4} << 20;

Handle create_file(const std::string& path, bool in_memory) {
    const Handle properties(H5Pcreate(H5P_FILE_CREATE), H5Pclose);
    // netCDF-4 lists dimensions and variables in creation order; without times equal input gives
    // equal bytes.
    H5Pset_link_creation_order(properties.id(), ordered);
    H5Pset_attr_creation_order(properties.id(), ordered);
    H5Pset_obj_track_times(properties.id(), false);
    const Handle access(H5Pcreate(H5P_FILE_ACCESS), H5Pclose);
    constexpr std::size_t step = std::size_t{1} << 20U;
    if (in_memory && H5Pset_fapl_core(access.id(), step, false) < 0) {
        return {};
    }
    return {H5Fcreate(path.c_str(), H5F_ACC_TRUNC, properties.id(), access.id()), H5Fclose};
}

/// The bytes of a file in memory; none where HDF5 does not give them.
std::vector<char> image_of(const Handle& file) {
    const auto size = H5Fget_file_image(file.id(), nullptr, 0);
    std::vector<char> image(size > 0 ? static_cast<std::size_t>(size) : 0);
    if (size <= 0 || H5Fget_file_image(file.id(), image.data(), image.size()) != size) {
        image.clear();
    }
    return image;
}

Handle dataset_properties() {
    Handle properties(H5Pcreate(H5P_DATASET_CREATE), H5Pclose);
    H5Pset_attr_creation_order(properties.id(), ordered);
    H5Pset_obj_track_times(properties.id(), false);
    return properties;
}

}  // namespace

GridWriter::GridWriter(std::string path, std::size_t expected_bytes)
    : path_(std::move(path)),
      beside_(path_ + ".part"),
      in_memory_(expected_bytes <= most_in_memory) {
    expect_room(path_, beside_, expected_bytes);
    errno = 0;
    file_ = create_file(beside_, in_memory_);
    require(file_.valid(), "the file");
}

GridWriter::~GridWriter() {
    if (!finished_) {
        std::error_code ignored;
        // Makes room on a full disk: HDF5 must be able to close the file, else it crashes when the
        // program ends (1.10.8).
        std::filesystem::resize_file(beside_, 0, ignored);
        file_.close();
        std::filesystem::remove(beside_, ignored);
    }
}

void GridWriter::require(bool good, const std::string& what) const {
    if (good) return;
    // A file in memory meets no disk; what stands in errno then is of something else.
    const std::string reason = in_memory_   ? ": memory may have run out"
                               : errno == 0 ? ""
                                            : fmt::format(": {}", std::strerror(errno));
    throw WriteError(fmt::format("{}: cannot write {}{}", path_, what, reason));
}

void GridWriter::text_attribute(const Handle& object,
                                const std::string& name,
                                const std::string& text) {
    // Variable length: a fixed-length attribute may not exceed 64 KiB, a case text may.
    const Handle type = string_type();
    const Handle space(H5Screate(H5S_SCALAR), H5Sclose);
    const Handle attribute(
        H5Acreate2(object.id(), name.c_str(), type.id(), space.id(), H5P_DEFAULT, H5P_DEFAULT),
        H5Aclose);
    const char* characters = text.c_str();
    require(attribute.valid() && H5Awrite(attribute.id(), type.id(), &characters) >= 0,
            "attribute " + name);
}

void GridWriter::attribute(const std::string& name, const std::string& text) {
    const Handle root(H5Gopen2(file_.id(), "/", H5P_DEFAULT), H5Gclose);
    text_attribute(root, name, text);
}

void GridWriter::attribute(const std::string& name, int value) {
    const Handle root(H5Gopen2(file_.id(), "/", H5P_DEFAULT), H5Gclose);
    const Handle space(H5Screate(H5S_SCALAR), H5Sclose);
    const Handle attribute(
        H5Acreate2(root.id(), name.c_str(), H5T_STD_I32LE, space.id(), H5P_DEFAULT, H5P_DEFAULT),
        H5Aclose);
    require(attribute.valid() && H5Awrite(attribute.id(), H5T_NATIVE_INT, &value) >= 0,
            "attribute " + name);
}

void GridWriter::attribute(const std::string& dataset,
                           const std::string& name,
                           const std::string& text) {
    const Handle object(H5Dopen2(file_.id(), dataset.c_str(), H5P_DEFAULT), H5Dclose);
    require(object.valid(), "attribute " + name + " of " + dataset);
    text_attribute(object, name, text);
}

void GridWriter::describe(const Handle& dataset, const Label& label) {
    text_attribute(dataset, "units", label.units);
    text_attribute(dataset, "long_name", label.long_name);
}

Handle GridWriter::create_scale(const std::string& name, std::size_t size, Handle::Id type) {
    const hsize_t extent = size;
    const Handle space(H5Screate_simple(1, &extent, nullptr), H5Sclose);
    const Handle properties = dataset_properties();
    Handle dataset(
        H5Dcreate2(
            file_.id(), name.c_str(), type, space.id(), H5P_DEFAULT, properties.id(), H5P_DEFAULT),
        H5Dclose);
    require(dataset.valid(), name);
    sizes_[name] = size;
    return dataset;
}

void GridWriter::dimension(const Label& label, const std::vector<double>& values) {
    const Handle dataset = create_scale(label.name, values.size(), H5T_IEEE_F64LE);
    write(dataset, H5T_NATIVE_DOUBLE, values.data());
    require(H5DSset_scale(dataset.id(), label.name.c_str()) >= 0, label.name);
    describe(dataset, label);
}

void GridWriter::dimension(const Label& label, const std::vector<int>& values) {
    const Handle dataset = create_scale(label.name, values.size(), H5T_STD_I32LE);
    write(dataset, H5T_NATIVE_INT, values.data());
    require(H5DSset_scale(dataset.id(), label.name.c_str()) >= 0, label.name);
    describe(dataset, label);
}

void GridWriter::dimension(const std::string& name, std::size_t size) {
    const Handle dataset = create_scale(name, size, H5T_IEEE_F32BE);
    // The mark by which netCDF-4 knows a dimension without values: this text and type.
    const std::string mark =
        fmt::format("This is a netCDF dimension but not a netCDF variable.{:10d}", size);
    require(H5DSset_scale(dataset.id(), mark.c_str()) >= 0, name);
}

Handle GridWriter::create(const Label& label, const Dimensions& over, Handle::Id type) {
    std::vector<hsize_t> extents;
    for (const auto& name : over) {
        require(sizes_.contains(name), label.name + ": no dimension " + name);
        extents.push_back(sizes_.at(name));
    }
    const Handle space(H5Screate_simple(static_cast<int>(extents.size()), extents.data(), nullptr),
                       H5Sclose);
    const Handle properties = dataset_properties();
    if (type == H5T_IEEE_F64LE) {
        const double fill = std::numeric_limits<double>::quiet_NaN();
        require(H5Pset_fill_value(properties.id(), H5T_NATIVE_DOUBLE, &fill) >= 0, label.name);
    }
    Handle dataset(H5Dcreate2(file_.id(),
                              label.name.c_str(),
                              type,
                              space.id(),
                              H5P_DEFAULT,
                              properties.id(),
                              H5P_DEFAULT),
                   H5Dclose);
    require(dataset.valid(), label.name);
    for (std::size_t i = 0; i < over.size(); ++i) {
        const Handle scale(H5Dopen2(file_.id(), over[i].c_str(), H5P_DEFAULT), H5Dclose);
        require(H5DSattach_scale(dataset.id(), scale.id(), static_cast<unsigned>(i)) >= 0,
                label.name);
    }
    return dataset;
}

void GridWriter::write(const Handle& dataset, Handle::Id type, const void* values) {
    errno = 0;
    require(H5Dwrite(dataset.id(), type, H5S_ALL, H5S_ALL, H5P_DEFAULT, values) >= 0, "a dataset");
}

void GridWriter::variable(const Label& label,
                          const Dimensions& over,
                          const std::vector<double>& values) {
    const Handle dataset = create(label, over, H5T_IEEE_F64LE);
    write(dataset, H5T_NATIVE_DOUBLE, values.data());
    describe(dataset, label);
}

void GridWriter::variable(const Label& label,
                          const Dimensions& over,
                          const std::vector<int>& values) {
    const Handle dataset = create(label, over, H5T_STD_I32LE);
    write(dataset, H5T_NATIVE_INT, values.data());
    describe(dataset, label);
}

void GridWriter::variable(const Label& label,
                          const Dimensions& over,
                          const std::vector<std::string>& values) {
    const Handle type = string_type();
    const Handle dataset = create(label, over, type.id());
    std::vector<const char*> characters;
    characters.reserve(values.size());
    for (const auto& value : values) characters.push_back(value.c_str());
    write(dataset, type.id(), characters.data());
    describe(dataset, label);
}

void GridWriter::finish() {
    errno = 0;
    require(H5Fflush(file_.id(), H5F_SCOPE_GLOBAL) >= 0, "to the end");
    try {
        if (in_memory_) {
            const auto image = image_of(file_);
            require(!image.empty(), "to the end");
            FileWriter file(beside_);
            file.add({image.data(), image.size()});
            file.finish();
        }
        require(file_.close(), "to the end");
        seal_file(beside_);
        sync_file(beside_);
    } catch (const FileError& error) {
        throw WriteError(fmt::format("{}: cannot write to the end: {}", path_, error.what()));
    }
    std::error_code error;
    std::filesystem::rename(beside_, path_, error);
    if (error) {
        throw WriteError(
            fmt::format("{}: cannot write under its name: {}", path_, error.message()));
    }
    finished_ = true;
}

}  // namespace plenair
