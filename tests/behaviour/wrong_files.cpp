// Wrong case files: every file of tests/behaviour/wrong_files gets exactly the messages beside it.

#include "cases/file/read.hpp"
#include "cases/study/error.hpp"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include <doctest/doctest.h>

namespace {

namespace fs = std::filesystem;

const fs::path folder = fs::path(PLENAIR_SOURCE_DIR) / "tests/behaviour/wrong_files";

std::string read_all(const fs::path& path) {
    std::ifstream in(path, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

/// Messages of a text as printed, one a line; empty where the text is accepted.
std::string messages_of(const std::string& text, const std::string& name) {
    try {
        (void)plenair::parse_case(text, name, {});
    } catch (const plenair::InputError& error) {
        return error.what();
    }
    return {};
}

std::vector<fs::path> wrong_files() {
    std::vector<fs::path> files;
    for (const auto& entry : fs::directory_iterator(folder)) {
        if (entry.path().extension() == ".toml") {
            files.push_back(entry.path());
        }
    }
    std::sort(files.begin(), files.end());
    return files;
}

/// A file that goes away with the test.
class ScratchFile final {
public:
    explicit ScratchFile(const std::string& name) : path_(fs::temp_directory_path() / name) {}
    ~ScratchFile() {
        std::error_code ignored;
        fs::remove(path_, ignored);
    }
    ScratchFile(const ScratchFile&) = delete;
    ScratchFile& operator=(const ScratchFile&) = delete;
    [[nodiscard]] const fs::path& path() const { return path_; }

private:
    fs::path path_;
};

const std::string good_case =
    "format = 1\n[slot]\nx = \"6 mm\"\nlength = \"388 mm\"\nwidth = \"6 mm\"\ncd = 0.62\n";

}  // namespace

TEST_CASE("wrong files: each gets exactly its messages, in file order, in one run") {
    const auto files = wrong_files();
    CHECK(files.size() >= 60);
    for (const auto& file : files) {
        const auto name = file.filename().string();
        CAPTURE(name);
        auto expected = file;
        expected.replace_extension(".expected");
        REQUIRE(fs::exists(expected));
        CHECK(messages_of(read_all(file), name) == read_all(expected));
    }
}

TEST_CASE("wrong files: five faults give five messages") {
    const auto text = messages_of(read_all(folder / "five-faults.toml"), "five-faults.toml");
    CHECK(std::count(text.begin(), text.end(), '\n') == 5);
}

TEST_CASE("wrong files: read from disk they say the same, with the path as given") {
    const auto path = (folder / "no-unit.toml").string();
    CHECK_THROWS_WITH_AS(plenair::read_case(path, {}),
                         (path + ":5:9: slot.width = 6: no unit; write \"6 mm\"\n").c_str(),
                         plenair::InputError);
}

TEST_CASE("wrong files: a directory is named as such") {
    const auto path = folder.string();
    CHECK_THROWS_WITH_AS(plenair::read_case(path, {}),
                         (path + ": is a directory; name the file in it").c_str(),
                         plenair::ReadError);
}

TEST_CASE("wrong files: a file that is not there cannot be read") {
    CHECK_THROWS_WITH_AS(plenair::read_case("nowhere/case.toml", {}),
                         "nowhere/case.toml: cannot be read: No such file or directory",
                         plenair::ReadError);
}

TEST_CASE("wrong files: a path through a file cannot be read") {
    const auto path = (folder / "no-unit.toml" / "case.toml").string();
    CHECK_THROWS_WITH_AS(plenair::read_case(path, {}),
                         (path + ": cannot be read: Not a directory").c_str(),
                         plenair::ReadError);
}

TEST_CASE("wrong files: a file without read permission cannot be read") {
    const ScratchFile scratch("plenair-unreadable.toml");
    std::ofstream(scratch.path()) << good_case;
    fs::permissions(scratch.path(), fs::perms::none);
    if (std::ifstream(scratch.path())) {
        return;  // the superuser reads everything
    }
    const auto path = scratch.path().string();
    CHECK_THROWS_WITH_AS(plenair::read_case(path, {}),
                         (path + ": cannot be read: Permission denied").c_str(),
                         plenair::ReadError);
}

TEST_CASE("wrong files: 100 MB are refused by size without being read") {
    const ScratchFile scratch("plenair-100-megabytes.toml");
    std::ofstream(scratch.path()) << good_case;
    fs::resize_file(scratch.path(), 100000000);  // sparse: costs no disk
    const auto path = scratch.path().string();
    CHECK_THROWS_WITH_AS(
        plenair::read_case(path, {}),
        (path + ":1:1: 100.0 MB: a case file is at most 4 MB; is this the right file?\n").c_str(),
        plenair::InputError);
}

TEST_CASE(
    "wrong files: of four thousand faults the first twenty are listed and the others counted") {
    std::string text = good_case;
    for (int i = 0; i < 4000; ++i) {
        text += "k" + std::to_string(i) + " = 1\n";
    }
    const auto messages = messages_of(text, "many.toml");
    CHECK(std::count(messages.begin(), messages.end(), '\n') == 21);
    CHECK(messages.find("k19; ") != std::string::npos);
    CHECK(messages.find("k20") == std::string::npos);
    CHECK(messages.find("many.toml: and 3,980 more; mend these first\n") != std::string::npos);
}

TEST_CASE("wrong files: cutting a good file anywhere never does worse than an input error") {
    const auto text =
        read_all(fs::path(PLENAIR_SOURCE_DIR) / "cases/shipped/hill-climb-four/case.toml");
    REQUIRE(text.size() > 1000);
    for (std::size_t length = 0; length < text.size(); length += 37) {
        CAPTURE(length);
        CHECK_NOTHROW(messages_of(text.substr(0, length), "cut.toml"));
    }
}

TEST_CASE("wrong files: a broken byte anywhere never does worse than an input error") {
    const auto text =
        read_all(fs::path(PLENAIR_SOURCE_DIR) / "cases/shipped/hill-climb-four/case.toml");
    REQUIRE(text.size() > 1000);
    for (std::size_t at = 0; at < text.size(); at += 23) {
        for (const char byte : {'"', '=', '[', ',', '\x80', '9'}) {
            auto broken = text;
            broken[at] = byte;
            CAPTURE(at);
            CHECK_NOTHROW(messages_of(broken, "broken.toml"));
        }
    }
}

TEST_CASE("wrong overrides: they are named as --set") {
    const auto fault = [](const std::string& set) -> std::string {
        try {
            (void)plenair::parse_case(good_case, "case.toml", {set});
        } catch (const plenair::InputError& error) {
            return error.what();
        }
        return {};
    };
    CHECK(fault("slot.width") ==
          "--set: \"slot.width\": no key and value; write --set key=value, "
          "e.g. --set \"slot.width=5 mm\"\n");
    CHECK(fault("slot.width=5") == "--set: slot.width = 5: no unit; write \"5 mm\"\n");
    CHECK(fault("slot.widht=5 mm") == "--set: unknown key slot.widht; did you mean slot.width?\n");
    CHECK(fault("slot.width.x=5 mm") ==
          "--set: slot.width.x=5 mm: no width here; name an entry of the file\n");
    CHECK(fault("point.A4.speed=9000 rpm").find("--set: ") == 0);
    CHECK(fault("slot.width=5 mm").empty());
}
