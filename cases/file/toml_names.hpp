#pragma once

#include <stdexcept>
#include <version>

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

// The names of TOML's nodes and tables, for headers and for files that pass them on; who looks into
// one includes cases/file/toml.hpp. No TOML header is included but by these two.
//
// The parser (3.3) asserts on headers such as "[=]"; without assertions it even takes them for
// unreachable. Wrong files must not end a program, so its assertions throw, in every build.
#ifdef NDEBUG
#define PLENAIR_HAD_NDEBUG
#undef NDEBUG
#endif
#define TOML_ASSERT(expr) ((expr) ? static_cast<void>(0) : ::plenair::file::parser_fault(#expr))

// Numbers without a stream, which takes memory and says of a lack of it that the number is wrong.
#if defined(__cpp_lib_to_chars) && __cpp_lib_to_chars >= 201611L
#define TOML_FLOAT_CHARCONV 1
#endif

// Compiled once, in cases/file/parser_library.cpp: the distribution's library would not know these
// assertions.
#define TOML_HEADER_ONLY 0
#include <toml++/impl/preprocessor.h>

// It takes other text for impossible, and the compiler then leaves the code out that would see it.
#undef TOML_UNREACHABLE
#define TOML_UNREACHABLE ::plenair::file::parser_fault("unreachable")

#include <toml++/impl/forward_declarations.h>

#ifdef PLENAIR_HAD_NDEBUG
#undef PLENAIR_HAD_NDEBUG
#define NDEBUG
#endif
