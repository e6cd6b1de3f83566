#pragma once

#include <string_view>

namespace plenair {

/// The model that a page runs by itself, as the build embedded it: docs/decisions/browser-model.md.
struct LiveModule {
    /// WebAssembly, packed by gzip, as base64; empty where the build had no compiler for it.
    std::string_view packed;
    /// Script of the worker that runs it: takes {open: {module, text, name}}, then {request}.
    std::string_view worker;
};

[[nodiscard]] const LiveModule& live_module();

}  // namespace plenair
