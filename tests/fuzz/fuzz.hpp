#pragma once

#include "cases/study/measured.hpp"
#include "cases/study/visible_text.hpp"
#include "geometry/error.hpp"

#include <sys/mman.h>
#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <string>
#include <string_view>

/// What every target needs: its input as text, and files that stand in memory alone.
namespace plenair::fuzz {

inline std::string_view text_of(const std::uint8_t* data, std::size_t size) {
    return {reinterpret_cast<const char*>(data), size};
}

inline std::string file_text(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(file), {}};
}

/// A file in memory whose content is replaced for each input.
class MemoryFile final {
public:
    MemoryFile() : file_(::memfd_create("input", 0)) {
        if (file_ < 0) {
            std::abort();
        }
        path_ = "/proc/self/fd/" + std::to_string(file_);
    }
    ~MemoryFile() { ::close(file_); }
    MemoryFile(const MemoryFile&) = delete;
    MemoryFile& operator=(const MemoryFile&) = delete;
    MemoryFile(MemoryFile&&) = delete;
    MemoryFile& operator=(MemoryFile&&) = delete;

    [[nodiscard]] const std::string& holding(std::string_view bytes) const {
        const auto size = static_cast<ssize_t>(bytes.size());
        if (::ftruncate(file_, 0) != 0 || ::pwrite(file_, bytes.data(), bytes.size(), 0) != size) {
            std::abort();
        }
        return path_;
    }

private:
    int file_;
    std::string path_;
};

/// A property that must hold for every input.
inline void expect(bool holds) {
    if (!holds) {
        std::abort();
    }
}

/// The input as an argument of a command, which ends at its first NUL.
inline std::string argument_of(const std::uint8_t* data, std::size_t size) {
    std::string text(text_of(data, size));
    text.resize(std::min(text.find('\0'), text.size()));
    return text;
}

/// Something is said, not too much of it, and nothing that a terminal would take for a command.
inline void expect_shown(const InputError& error) {
    expect(!error.messages().empty() && error.messages().size() <= 21);
    for (const auto& message : error.messages()) {
        expect(message == visible_text(message, LineEnds::written_out));
        expect(message.size() < 6000);
    }
}

/// No reading that was taken in is without a number.
inline void expect_sound(const Measured& m) {
    const auto finite = [](double number) { expect(std::isfinite(number)); };
    for (const auto& gauge : m.gauges) {
        std::for_each(gauge.x.begin(), gauge.x.end(), finite);
        std::for_each(gauge.value.begin(), gauge.value.end(), finite);
        finite(gauge.uncertainty);
    }
    for (const auto& reading : m.bench) {
        finite(reading.flow());
        finite(reading.density);
        finite(reading.uncertainty);
    }
    for (const auto& reading : m.engine) {
        finite(reading.lambda_uncertainty);
        finite(reading.temperature_uncertainty);
        for (const auto* list : {&reading.lambda, &reading.exhaust_temperature}) {
            for (const auto& number : *list) {
                finite(number.value_or(0));
            }
        }
    }
}

}  // namespace plenair::fuzz
