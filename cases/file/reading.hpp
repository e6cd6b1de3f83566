#pragma once

#include "cases/file/choose.hpp"
#include "cases/file/document.hpp"
#include "cases/file/sweep.hpp"
#include "cases/file/sweep_axes.hpp"
#include "cases/file/tolerance.hpp"
#include "cases/file/unsteady.hpp"
#include "cases/study/case.hpp"

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace plenair::file {

/// A case file that was read once, for the case and for the plans that stand beside it.
struct CaseReading {
    std::string path;
    std::string text;  ///< as it was given, before the overrides
    std::vector<std::string> sets;
    std::shared_ptr<const toml::table> table;  ///< after the overrides
    Scope root;
    std::optional<SweepAxes> axes;
    Case c;

    /// For what is said about this file, in its units.
    [[nodiscard]] Messages messages() const;
};

/// Reads and checks the case, and what [sweep] says by itself.
/// @param sets  overrides "key=value", as after --set
/// @throws InputError with every message, in file order
[[nodiscard]] CaseReading read_once(std::string_view text,
                                    std::string path,
                                    const std::vector<std::string>& sets);

/// The plans of a case that was read; as parse_sweep, parse_choose and parse_tolerance.
/// @throws InputError with every message, in file order
[[nodiscard]] SweepPlan sweep_of(const CaseReading& reading,
                                 const VariantLimit& limit,
                                 const std::string& precision);
[[nodiscard]] ChoosePlan choose_of(const CaseReading& reading);
[[nodiscard]] TolerancePlan tolerance_of(const CaseReading& reading);
[[nodiscard]] TransientPlan transient_of(const CaseReading& reading);
[[nodiscard]] ResponsePlan response_of(const CaseReading& reading);

}  // namespace plenair::file
