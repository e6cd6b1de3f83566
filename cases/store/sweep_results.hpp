#pragma once

#include "cases/store/grid_writer.hpp"
#include "cases/study/sweep.hpp"

#include <string>
#include <vector>

namespace plenair {

/// Writes the results of a sweep to one HDF5 file, variants x points x cylinders, laid out by the
/// netCDF-4 rules (docs/results-file.md), some variants at a time. Equal records give equal bytes.
class SweepResultsWriter final {
public:
    /// @param text_bytes  room for failures and notes
    /// @throws WriteError  where there is no room for the whole file
    SweepResultsWriter(const std::string& path, const SweepInfo& info, std::size_t text_bytes);
    /// The next variants. Numbers of a variant that could not be built, and shares of a point that
    /// did not converge, are NaN.
    void add(const std::vector<VariantRecord>& records);
    /// Closes the file and gives it its name. @throws WriteError
    void finish() { file_.finish(); }

private:
    void declare();
    void add_inputs(const std::vector<VariantRecord>& records);
    void add_points(const std::vector<VariantRecord>& records);
    void add_cylinders(const std::vector<VariantRecord>& records);

    GridWriter file_;
    const SweepInfo& info_;
    std::size_t next_ = 0;  // variants written
};

/// Name of an input's dataset: "input_slot_width" of "slot.width".
[[nodiscard]] std::string input_dataset(const SweepInput& input);

}  // namespace plenair
