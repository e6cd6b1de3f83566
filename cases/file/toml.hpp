#pragma once

#include <stdexcept>

namespace plenair::file {

/// The TOML parser met text that it takes for impossible.
class ParserFault final : public std::logic_error {
public:
    using std::logic_error::logic_error;
};

[[noreturn]] inline void parser_fault(const char* expected) {
    throw ParserFault(expected);
}

}  // namespace plenair::file

// The parser (3.3) asserts on headers such as "[=]"; without assertions it even takes them for
// unreachable. Wrong files must not end a program, so its assertions throw, in every build. Include
// TOML through this header only.
#ifdef NDEBUG
#define PLENAIR_HAD_NDEBUG
#undef NDEBUG
#endif
#define TOML_ASSERT(expr) ((expr) ? static_cast<void>(0) : ::plenair::file::parser_fault(#expr))

// It takes other text for impossible, and the compiler then leaves the code out that would see it.
#include <toml++/impl/preprocessor.h>
#undef TOML_UNREACHABLE
#define TOML_UNREACHABLE ::plenair::file::parser_fault("unreachable")

#include <toml++/toml.h>

#ifdef PLENAIR_HAD_NDEBUG
#undef PLENAIR_HAD_NDEBUG
#define NDEBUG
#endif
