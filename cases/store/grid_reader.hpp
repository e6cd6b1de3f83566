#pragma once

#include "cases/store/handle.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace plenair {

/// Reads what GridWriter wrote. Every message names the file and the dataset.
class GridReader final {
public:
    /// @throws ReadError if the file does not exist or is not HDF5.
    explicit GridReader(std::string path);

    [[nodiscard]] std::string text_attribute(const std::string& name) const;
    [[nodiscard]] int int_attribute(const std::string& name) const;
    /// Attribute of a dataset; empty where it has none of that name.
    [[nodiscard]] std::string text_attribute(const std::string& dataset,
                                             const std::string& name) const;
    /// Whole array, last dimension fastest. @throws ReadError if it is missing.
    [[nodiscard]] std::vector<double> doubles(const std::string& name) const;
    [[nodiscard]] std::vector<int> ints(const std::string& name) const;
    [[nodiscard]] std::vector<std::string> strings(const std::string& name) const;
    [[nodiscard]] bool has(const std::string& name) const;
    /// Whether a dataset holds floating-point numbers; else whole numbers or text.
    [[nodiscard]] bool is_number(const std::string& name) const;
    /// Extents of a dataset.
    [[nodiscard]] std::vector<std::size_t> extents(const std::string& name) const;
    /// Names of all datasets in the order they were written.
    [[nodiscard]] std::vector<std::string> names() const;

private:
    [[nodiscard]] Handle open(const std::string& name) const;
    [[nodiscard]] std::string text_of(const Handle& object, const std::string& name) const;
    void require(bool good, const std::string& what) const;

    QuietHdf5 quiet_;
    std::string path_;
    Handle file_;
};

}  // namespace plenair
