#pragma once

#include <system_error>
#include <thread>
#include <utility>
#include <vector>

namespace plenair {

/// Starts one more thread for `work`. @returns false where the system has none to give: those that
/// run do the work then
template <class Work>
[[nodiscard]] bool start_thread(std::vector<std::jthread>& helpers, Work&& work) {
    try {
        helpers.emplace_back(std::forward<Work>(work));
        return true;
    } catch (const std::system_error&) {
        return false;
    }
}

}  // namespace plenair
