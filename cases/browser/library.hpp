#pragma once

#include <charconv>
#include <cmath>
#include <cstddef>
#include <cstdio>
#include <cstdlib>
#include <string>
#include <string_view>
#include <system_error>

/// What the compiler's C++ library for the browser (libc++ 13) lacks of C++20, in the standard's
/// own words; included before everything else there, and nowhere else. Its C library reads and
/// writes decimal numbers correctly rounded, so these agree with every other complete library.
namespace std {

template <class To, class From>
[[nodiscard]] constexpr To bit_cast(const From& from) noexcept {
    static_assert(sizeof(To) == sizeof(From));
    return __builtin_bit_cast(To, from);
}

namespace plenair_detail {

/// Length of the decimal number (or inf, nan) at the start of the text; 0 where there is none.
inline size_t number_length(string_view text) {
    size_t at = text.starts_with('-') ? 1 : 0;
    for (const string_view word : {"inf", "nan"}) {
        if (text.substr(at).starts_with(word)) {
            return at + word.size();
        }
    }
    const auto digits = [&text](size_t from) {
        size_t to = from;
        while (to < text.size() && text[to] >= '0' && text[to] <= '9') {
            ++to;
        }
        return to - from;
    };
    const size_t before = digits(at);
    at += before;
    size_t after = 0;
    if (at < text.size() && text[at] == '.') {
        after = digits(at + 1);
        at += before + after > 0 ? after + 1 : 0;
    }
    if (before + after == 0) {
        return 0;
    }
    if (at < text.size() && (text[at] == 'e' || text[at] == 'E')) {
        const bool sign = at + 1 < text.size() && (text[at + 1] == '-' || text[at + 1] == '+');
        const size_t exponent = at + (sign ? 2 : 1);
        const size_t count = digits(exponent);
        at = count > 0 ? exponent + count : at;
    }
    return at;
}

}  // namespace plenair_detail

inline from_chars_result from_chars(const char* first, const char* last, double& value) {
    const string_view text(first, static_cast<size_t>(last - first));
    const size_t length = plenair_detail::number_length(text);
    if (length == 0) {
        return {first, errc::invalid_argument};
    }
    const string number(text.substr(0, length));
    const double read = strtod(number.c_str(), nullptr);
    const bool word = number.find_first_of("in") != string::npos;
    const string_view mantissa = string_view(number).substr(0, number.find_first_of("eE"));
    const bool zero = mantissa.find_first_of("123456789") == string_view::npos;
    if (!word && (isinf(read) || (read == 0.0 && !zero))) {
        return {first + length, errc::result_out_of_range};
    }
    value = read;
    return {first + length, errc{}};
}

inline to_chars_result to_chars(
    char* first, char* last, double value, chars_format format, int precision) {
    const char* const pattern = format == chars_format::fixed        ? "%.*f"
                                : format == chars_format::scientific ? "%.*e"
                                                                     : "%.*g";
    string text(static_cast<size_t>(last - first) + 1, '\0');
    const int length = snprintf(text.data(), text.size(), pattern, precision, value);
    if (length < 0 || length > last - first) {
        return {last, errc::value_too_large};
    }
    text.copy(first, static_cast<size_t>(length));
    return {first + length, errc{}};
}

}  // namespace std
