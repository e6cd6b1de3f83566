#include "cases/store/grid_writer.hpp"

#include <hdf5.h>
#include <hdf5_hl.h>

#include <cerrno>
#include <functional>
#include <numeric>

/// Arrays that are written some rows at a time.
namespace plenair {

void GridWriter::declare(const Label& label, const Dimensions& over, Element element) {
    switch (element) {
        case Element::number:
            describe(create(label, over, H5T_IEEE_F64LE), label);
            break;
        case Element::integer:
            describe(create(label, over, H5T_STD_I32LE), label);
            break;
        case Element::text: {
            const Handle type = string_type();
            describe(create(label, over, type.id()), label);
            break;
        }
    }
}

void GridWriter::declare_dimension(const Label& label, std::size_t size) {
    const Handle dataset = create_scale(label.name, size, H5T_STD_I32LE);
    require(H5DSset_scale(dataset.id(), label.name.c_str()) >= 0, label.name);
    describe(dataset, label);
}

void GridWriter::write_slab(const std::string& name,
                            std::size_t first,
                            std::size_t elements,
                            Handle::Id type,
                            const void* values) {
    const Handle dataset(H5Dopen2(file_.id(), name.c_str(), H5P_DEFAULT), H5Dclose);
    require(dataset.valid(), name);
    const Handle space(H5Dget_space(dataset.id()), H5Sclose);
    const int rank = H5Sget_simple_extent_ndims(space.id());
    require(rank > 0, name);
    std::vector<hsize_t> extents(static_cast<std::size_t>(rank));
    require(H5Sget_simple_extent_dims(space.id(), extents.data(), nullptr) >= 0, name);
    const hsize_t row =
        std::accumulate(extents.begin() + 1, extents.end(), hsize_t{1}, std::multiplies<hsize_t>());
    std::vector<hsize_t> start(extents.size(), 0);
    start[0] = first;
    extents[0] = elements / row;
    require(elements % row == 0, name);
    const Handle memory(H5Screate_simple(static_cast<int>(extents.size()), extents.data(), nullptr),
                        H5Sclose);
    const herr_t selected = H5Sselect_hyperslab(
        space.id(), H5S_SELECT_SET, start.data(), nullptr, extents.data(), nullptr);
    require(selected >= 0, name);  // else all of it is
    errno = 0;
    require(H5Dwrite(dataset.id(), type, memory.id(), space.id(), H5P_DEFAULT, values) >= 0, name);
}

void GridWriter::write_rows(const std::string& name,
                            std::size_t first,
                            const std::vector<double>& values) {
    write_slab(name, first, values.size(), H5T_NATIVE_DOUBLE, values.data());
}

void GridWriter::write_rows(const std::string& name,
                            std::size_t first,
                            const std::vector<int>& values) {
    write_slab(name, first, values.size(), H5T_NATIVE_INT, values.data());
}

void GridWriter::write_rows(const std::string& name,
                            std::size_t first,
                            const std::vector<std::string>& values) {
    const Handle type = string_type();
    std::vector<const char*> characters;
    characters.reserve(values.size());
    for (const auto& value : values) characters.push_back(value.c_str());
    write_slab(name, first, values.size(), type.id(), characters.data());
}

}  // namespace plenair
