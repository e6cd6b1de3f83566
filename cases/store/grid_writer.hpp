#pragma once

#include "cases/store/handle.hpp"

#include <cstddef>
#include <map>
#include <string>
#include <vector>

namespace plenair {

/// What a general reader needs to know of one dataset.
struct Label {
    std::string name;  ///< of the dataset
    std::string units;  ///< UDUNITS text, "1" where none
    std::string long_name;  ///< in words
};

/// Writes arrays over named dimensions to an HDF5 file laid out by the netCDF-4 rules ("NetCDF-4
/// format", NetCDF User's Guide, appendix B): dimension scales, creation order, no times.
/// Writes beside the target; only finish() gives the file its name. Without finish() nothing stays.
class GridWriter final {
public:
    /// @param expected_bytes  room that must be there before anything is written
    /// @throws WriteError if no such file can be created beside `path`.
    explicit GridWriter(std::string path, std::size_t expected_bytes = 1 << 20);
    ~GridWriter();
    GridWriter(const GridWriter&) = delete;
    GridWriter& operator=(const GridWriter&) = delete;
    GridWriter(GridWriter&&) = delete;
    GridWriter& operator=(GridWriter&&) = delete;

    /// Root attribute.
    void attribute(const std::string& name, const std::string& text);
    void attribute(const std::string& name, int value);
    /// Dimension that carries its own values.
    void dimension(const Label& label, const std::vector<double>& values);
    void dimension(const Label& label, const std::vector<int>& values);
    /// Dimension of which only the size is known.
    void dimension(const std::string& name, std::size_t size);

    using Dimensions = std::vector<std::string>;
    /// Array over dimensions declared before, last one fastest. NaN marks what was not computed.
    void variable(const Label& label, const Dimensions& over, const std::vector<double>& values);
    void variable(const Label& label, const Dimensions& over, const std::vector<int>& values);
    void variable(const Label& label,
                  const Dimensions& over,
                  const std::vector<std::string>& values);

    enum class Element { number, integer, text };
    /// Array over dimensions declared before, to be filled by write_rows: for arrays too large to
    /// be held whole.
    void declare(const Label& label, const Dimensions& over, Element element);
    /// Dimension whose values are written by write_rows.
    void declare_dimension(const Label& label, std::size_t size);
    /// Fills rows `first`, `first + 1`, ... of the first dimension, as many as `values` holds.
    void write_rows(const std::string& name, std::size_t first, const std::vector<double>& values);
    void write_rows(const std::string& name, std::size_t first, const std::vector<int>& values);
    void write_rows(const std::string& name,
                    std::size_t first,
                    const std::vector<std::string>& values);

    /// Attribute of a dataset written before.
    void attribute(const std::string& dataset, const std::string& name, const std::string& text);

    /// Closes the file and moves it to its name. @throws WriteError if that fails.
    void finish();

private:
    Handle create(const Label& label, const Dimensions& over, Handle::Id type);
    Handle create_scale(const std::string& name, std::size_t size, Handle::Id type);
    void write(const Handle& dataset, Handle::Id type, const void* values);
    void write_slab(const std::string& name,
                    std::size_t first,
                    std::size_t elements,
                    Handle::Id type,
                    const void* values);
    void text_attribute(const Handle& object, const std::string& name, const std::string& text);
    void describe(const Handle& dataset, const Label& label);
    void require(bool good, const std::string& what) const;

    QuietHdf5 quiet_;
    std::string path_, beside_;
    bool in_memory_ = false;
    Handle file_;
    std::map<std::string, std::size_t> sizes_;
    bool finished_ = false;
};

}  // namespace plenair
