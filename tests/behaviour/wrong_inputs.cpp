// Wrong readings, wrong plans and wrong command lines: each gets exactly what stands beside it, and
// what a message says to write is written and taken.

#include "cases/file/measured.hpp"
#include "cases/file/plans.hpp"
#include "cases/file/read.hpp"
#include "geometry/error.hpp"
#include "tests/support/remedy.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/text.hpp"
#include "tests/support/wrong_blocks.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <functional>
#include <regex>
#include <string>
#include <vector>

using namespace plenair;
using plenair::test::WrongBlock;

namespace {

namespace fs = std::filesystem;

using test::messages_of;
using test::Read;

const std::string shipped = std::string(PLENAIR_SOURCE_DIR) + "/cases/shipped/";
const std::string here = std::string(PLENAIR_SOURCE_DIR) + "/tests/behaviour/";

std::string joined(const std::vector<std::string>& messages) {
    std::string all;
    for (const auto& message : messages) {
        all += message + "\n";
    }
    return all;
}

/// Messages with their lines counted from the end of what stands before: "case.toml:+2:1: ...".
std::string relative(const std::vector<std::string>& messages, std::size_t before) {
    std::string all;
    for (const auto& message : messages) {
        const std::size_t line = test::line_of(message);
        const auto colon = message.find(':');
        all += before == 0 || line <= before
                   ? message
                   : message.substr(0, colon) + ":+" + std::to_string(line - before) +
                         message.substr(message.find(':', colon + 1));
        all += '\n';
    }
    return all;
}

/// What each block's file gets, and that what a remedy says to write is taken.
/// @param before  lines that stand before each block's own
/// @returns how many remedies were followed
std::size_t check_blocks(const std::vector<WrongBlock>& blocks,
                         std::size_t before,
                         const std::function<Read(const WrongBlock&)>& reader) {
    std::size_t followed = 0;
    for (const auto& block : blocks) {
        CAPTURE(block.name);
        const Read read = reader(block);
        const auto messages = messages_of(read, block.input);
        CHECK(relative(messages, before) == block.said);
        CHECK_FALSE(messages.empty());
        for (const auto& message : messages) {
            CAPTURE(message);
            CHECK(test::has_remedy(message));
            CHECK(test::line_of(message) >= 1);
            const auto better = test::mended(block.input, message);
            if (!better) {
                continue;
            }
            ++followed;
            const auto left = messages_of(read, *better);
            CAPTURE(joined(left));
            CHECK(std::find(left.begin(), left.end(), message) == left.end());
        }
    }
    return followed;
}

/// The words of a command line as a shell takes them: by blanks, with double quotes around some.
std::vector<std::string> words_of(const std::string& line) {
    std::vector<std::string> words;
    bool quoted = false, any = false;
    std::string word;
    for (const char c : line) {
        if (c == '"') {
            quoted = !quoted;
            any = true;
        } else if ((c == ' ' || c == '\n') && !quoted) {
            if (any) {
                words.push_back(word);
            }
            word.clear();
            any = false;
        } else {
            word += c;
            any = true;
        }
    }
    return words;
}

/// A folder with what the command lines name.
class Desk final {
public:
    Desk() {
        (void)scratch_.write("case.toml", read_text(shipped + "hill-climb-four/case.toml"));
        (void)scratch_.write("rig.toml", read_text(shipped + "header-rig/case.toml"));
        (void)scratch_.write("plans.toml", read_text(here + "spoilt/plans.toml"));
        (void)scratch_.write("measured.toml", read_text(shipped + "hill-climb-four/measured.toml"));
        (void)scratch_.write("cut.json", "{\"format\": \"plenair.solve/1\", \"version\"");
        (void)scratch_.write("newer.json",
                             "{\"format\": \"plenair.solve/99\", \"version\": \"9.1.0\"}");
        (void)scratch_.write("text.h5", "no HDF5");
        (void)scratch_.write("empty.json", "");
        fs::create_directory(scratch_.path("folder"));
        (void)scratch_.write("folder/own.txt", "mine");
    }

    /// What the command says, without the warnings of the case.
    [[nodiscard]] Outcome run(const std::vector<std::string>& words) const {
        std::vector<std::string> all{"-C", scratch_.folder(), PLENAIR_EXECUTABLE};
        all.insert(all.end(), words.begin(), words.end());
        auto outcome = run_process("/usr/bin/env", all);
        std::string said;
        for (const auto& line : split(outcome.err, '\n')) {
            said += line.starts_with("warning: ") ? "" : line + "\n";
        }
        outcome.err = said;
        return outcome;
    }

    /// Names of all files, to see that none came or went.
    [[nodiscard]] std::string files() const {
        std::vector<std::string> names;
        for (const auto& entry : fs::recursive_directory_iterator(scratch_.folder())) {
            names.push_back(entry.path().string() + " " +
                            (entry.is_regular_file() ? read_text(entry.path().string()) : ""));
        }
        std::sort(names.begin(), names.end());
        return joined(names);
    }

private:
    ScratchFolder scratch_;
};

/// The command with what a message says to write in the place of the entry that it refuses:
/// "... KEY = OLD: why; write "NEW"", "... write for example --threads 4".
std::vector<std::string> followed(std::vector<std::string> words, const std::string& message) {
    static const std::regex entry(R"re( = ([^:]*): .*write (?:e\.g\. )?"([^"]*)")re");
    static const std::regex option(R"re(write for example (--[a-z-]+) ([^ \n]+))re");
    static const std::regex meant(
        R"re(unknown (?:key|option) ([^ ;]+)[^;]*; did you mean ([^ ?]+)\?)re");
    std::smatch match;
    if (std::regex_search(message, match, option)) {
        const auto at = std::find(words.begin(), words.end(), match[1].str());
        if (at != words.end() && at + 1 != words.end()) {
            *(at + 1) = match[2].str();
        }
    } else if (std::regex_search(message, match, meant) ||
               std::regex_search(message, match, entry)) {
        const std::string from = match[1], to = match[2];
        for (auto& word : words) {
            if (const auto at = word.rfind(from); at != std::string::npos && !from.empty()) {
                word.replace(at, from.size(), to);
            }
        }
    }
    return words;
}

}  // namespace

TEST_CASE("wrong readings: each gets exactly its messages, with place and remedy") {
    const auto blocks = test::wrong_blocks(here + "wrong_readings.txt");
    CHECK(blocks.size() >= 60);
    const Case four = read_case(shipped + "hill-climb-four/case.toml", {});
    const ScratchFolder scratch;
    const auto followed = check_blocks(blocks, 0, [&](const WrongBlock& block) {
        fs::remove(scratch.path("w.csv"));
        if (!block.table.empty()) {
            (void)scratch.write("w.csv", block.table);
        }
        return [&](const std::string& text) {
            const fs::path before = fs::current_path();
            fs::current_path(scratch.folder());
            try {
                (void)parse_measured(text, "m.toml", four);
            } catch (...) {
                fs::current_path(before);
                throw;
            }
            fs::current_path(before);
        };
    });
    CHECK(followed >= 15);
}

TEST_CASE("wrong plans: each gets exactly its messages, with place and remedy") {
    const auto blocks = test::wrong_blocks(here + "wrong_plans.txt");
    CHECK(blocks.size() >= 30);
    const std::string four = read_text(shipped + "hill-climb-four/case.toml");
    const auto lines = static_cast<std::size_t>(std::count(four.begin(), four.end(), '\n'));
    auto whole = blocks;
    for (auto& block : whole) {
        block.input = four + block.input;
    }
    const auto followed = check_blocks(whole, lines, [](const WrongBlock&) {
        return [](const std::string& text) { (void)parse_with_plans(text, "case.toml", {}); };
    });
    CHECK(followed >= 8);
}

TEST_CASE("wrong commands: each says exactly what is wrong and what to do, and writes nothing") {
    const auto blocks = test::wrong_blocks(here + "wrong_commands.txt");
    CHECK(blocks.size() >= 100);
    const Desk desk;
    const std::string before = desk.files();
    std::size_t mended = 0, accepted = 0;
    for (const auto& block : blocks) {
        CAPTURE(block.input);
        const auto words = words_of(block.input);
        const auto outcome = desk.run(words);
        CHECK(std::to_string(outcome.status) == block.name);
        CHECK(outcome.out.empty());
        CHECK(outcome.err == block.said);
        const auto better = followed(words, outcome.err);
        // What answers at once is tried again; what would compute is not waited for.
        const bool light = words.front() == "check" || words.front() == "draw";
        if (light && better != words) {
            ++mended;
            CAPTURE(joined(better));
            const auto again = desk.run(better);
            CAPTURE(again.err);
            CHECK(again.err != outcome.err);
            // An example mends its own fault; what is said without e.g. is right as it stands.
            if (has(outcome.err, "; write \"") && split(outcome.err, '\n').size() == 1) {
                ++accepted;
                CHECK(again.status == 0);
            }
        }
    }
    CHECK(desk.files() == before);
    CHECK(mended >= 15);
    CHECK(accepted >= 15);
}
