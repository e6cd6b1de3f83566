#pragma once

#include "cases/file/start.hpp"
#include "cases/file/start_draft.hpp"

#include <optional>
#include <string>
#include <vector>

/// From answers as typed to numbers and entries.
namespace plenair::file {

enum class StartFeed { end, far, side };

/// The answers, read; what was not answered is empty or 0.
struct StartPlan {
    int cylinders = 0;
    int banks = 0;  ///< 1 or 2
    std::vector<int> order;
    std::optional<StartFeed> feed;
    std::optional<double> feed_x;  ///< of a side feed; none: the middle [m]
    std::optional<double> plenum_volume;  ///< of each plenum [m3]
    std::optional<bool> slot;  ///< "none" is false
    std::vector<double> speeds;  ///< [rad/s]
    std::vector<std::string> speed_texts;
    std::string pressure;  ///< before the throttle, as typed; empty: not answered or "none"
    bool aspirated = false;  ///< "none" was answered
    TomlValues given;  ///< entries that the answers name directly, and those of --set
};

/// Reads one answer into the plan; a fault is returned and leaves the plan as it was.
[[nodiscard]] std::string take_answer(StartPlan& plan,
                                      std::string_view question,
                                      const std::string& text);

/// Reads "key=value".
[[nodiscard]] std::string take_set(StartPlan& plan, const std::string& set);

}  // namespace plenair::file
