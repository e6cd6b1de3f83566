#pragma once

#include "cases/file/measured.hpp"
#include "cases/file/read.hpp"
#include "cases/study/case.hpp"

#include <filesystem>
#include <fstream>
#include <string>

/// Measured files of the invented hill-climb engine, for tests.
namespace plenair::test {

inline const Case& hill_climb() {
    static const Case c = read_case("cases/shipped/hill-climb-four/case.toml", {});
    return c;
}

/// A measured file without its first line. @param path  beside it lie the CSV files
inline Measured measured(const std::string& body,
                         const Case& c = hill_climb(),
                         const std::string& path = "m.toml") {
    return parse_measured("format = 1\n" + body, path, c);
}

/// The slot alone on a bench; the flow is still to be said.
inline const std::string slot_bench =
    "[[bench]]\nset_up = \"slot\"\ndepression = \"28 inH2O\"\ntemperature = \"20 degC\"\nbarometer "
    "= \"101.325 kPa abs\"\n";

/// All messages of a file that must be refused; "accepted" where it is not.
inline std::string refusal(const std::string& body,
                           const Case& c = hill_climb(),
                           const std::string& path = "m.toml") {
    try {
        (void)measured(body, c, path);
    } catch (const InputError& error) {
        return error.what();
    }
    return "accepted";
}

/// A folder of its own for CSV files.
class MeasuredFolder final {
public:
    explicit MeasuredFolder(const std::string& name)
        : path_(std::filesystem::temp_directory_path() / ("plenair-measured-" + name)) {
        std::filesystem::create_directories(path_);
    }
    ~MeasuredFolder() { std::filesystem::remove_all(path_); }
    MeasuredFolder(const MeasuredFolder&) = delete;
    MeasuredFolder& operator=(const MeasuredFolder&) = delete;
    void write(const std::string& name, const std::string& text) const {
        std::ofstream(path_ / name) << text;
    }
    [[nodiscard]] Measured parse(const std::string& body, const Case& c = hill_climb()) const {
        return measured(body, c, (path_ / "m.toml").string());
    }
    [[nodiscard]] std::string refusal(const std::string& body, const Case& c = hill_climb()) const {
        return test::refusal(body, c, (path_ / "m.toml").string());
    }

private:
    std::filesystem::path path_;
};

}  // namespace plenair::test
