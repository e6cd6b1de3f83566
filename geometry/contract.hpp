#pragma once

/// What a caller owes a function, or a function its caller, where breaking it would give numbers
/// without sense instead of an error. Checked where the build defines PLENAIR_CONTRACTS (preset
/// dev); elsewhere the condition is not even evaluated. Not for what a user can get
/// wrong: that is an InputError in every build.
#if defined(PLENAIR_CONTRACTS)

namespace plenair {

/// @throws std::logic_error that names condition, file and line
[[noreturn]] void broken_contract(const char* condition, const char* file, int line);

}  // namespace plenair

#define PLENAIR_EXPECT(...)               \
    ((__VA_ARGS__) ? static_cast<void>(0) \
                   : ::plenair::broken_contract(#__VA_ARGS__, __FILE__, __LINE__))

#else

#define PLENAIR_EXPECT(...) static_cast<void>(sizeof((__VA_ARGS__) ? 1 : 0))

#endif
