// CSV files of readings: what is no file, has no end or no numbers is refused, in bounded memory,
// with the line and what to do.

#include "cases/file/measured.hpp"
#include "cases/file/read.hpp"
#include "geometry/error.hpp"
#include "tests/support/run_process.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <string>

using namespace plenair;

namespace {

const std::string gauge =
    "[[gauge]]\nentry = \"slot.width\"\nfile = \"w.csv\"\ncolumns = [\"x | mm\", \"w | mm\"]\n";
const std::string log_map =
    "[[log]]\nfile = \"w.csv\"\ntime = \"t | s\"\nspeed = \"n | rpm\"\n"
    "lambda = [\"L1\", \"L2\", \"L3\", \"L4\"]\n";

const Case& four() {
    static const Case c = read_case("cases/shipped/hill-climb-four/case.toml", {});
    return c;
}

std::string said_of(const std::string& body, const std::string& path) {
    try {
        (void)parse_measured("format = 1\n" + body, path, four());
    } catch (const InputError& error) {
        return error.what();
    }
    return "accepted";
}

/// What reading says where w.csv holds `csv`.
std::string said_of_csv(const std::string& body, const std::string& csv) {
    const ScratchFolder scratch;
    (void)scratch.write("w.csv", csv);
    return said_of(body, scratch.path("m.toml"));
}

}  // namespace

TEST_CASE("CSV readings: what is no file is named as such") {
    const ScratchFolder scratch;
    const auto path = scratch.path("m.toml");
    CHECK(has(said_of(gauge, path), "w.csv cannot be read: No such file or directory; check"));
    std::filesystem::create_directory(scratch.path("w.csv"));
    CHECK(has(said_of(gauge, path), "w.csv cannot be read: it is a folder; name a file in it"));
    std::filesystem::remove(scratch.path("w.csv"));
    for (const std::string device : {"/dev/zero", "/dev/full", "/dev/null"}) {
        std::filesystem::create_symlink(device, scratch.path("w.csv"));
        CHECK(has(said_of(gauge, path), "w.csv cannot be read: it is a device, not a file; name"));
        CHECK(has(said_of(log_map, path), "w.csv cannot be read: it is a device, not a file"));
        std::filesystem::remove(scratch.path("w.csv"));
    }
}

TEST_CASE("CSV readings: a line without an end is refused without being read to its end") {
    const ScratchFolder scratch;
    {
        std::ofstream file(scratch.path("w.csv"));
        file << "x,w\n";
    }
    std::filesystem::resize_file(scratch.path("w.csv"), 4000000000U);  // sparse: costs no disk
    const auto said = said_of(gauge, scratch.path("m.toml"));
    CHECK(has(said,
              "m.toml:4:8: gauge.1.file = w.csv: line 2 has more than 100000 characters; is this a "
              "CSV file?"));
}

TEST_CASE("CSV readings: lines up to the limit are read, with and without an end") {
    const std::string row = "6,6.01" + std::string(99994, ' ');
    REQUIRE(row.size() == 100000);
    for (const std::string end : {"", "\n", "\r\n"}) {
        const auto said = said_of_csv(gauge, "x,w\n" + row.substr(end.size() > 1 ? 1 : 0) + end);
        CAPTURE(said.substr(0, 300));
        CHECK_FALSE(has(said, "characters"));
    }
    CHECK(has(said_of_csv(gauge, "x,w\n" + row + " \n"), "line 2 has more than 100000"));
}

TEST_CASE("CSV readings: each fault has its line, its column and what to do") {
    const auto gauged = [](const std::string& csv) { return said_of_csv(gauge, csv); };
    CHECK(has(gauged(""), "the file is empty; its first line must name the columns"));
    CHECK(has(gauged("x,w\n"), "has no rows below its first line; fill it in"));
    CHECK(
        has(gauged("x,w\n6,\n"), "line 2, column \"w\" = \"\": empty; fill it, or delete the row"));
    CHECK(has(gauged("x,w\n6\n"), "line 2 ends before column \"w\"; mend or delete it"));
    CHECK(has(gauged("x,w\n6,six\n"), "line 2, column \"w\" = \"six\": "));
    CHECK(
        has(gauged("x,w\n6,nan\n"), "line 2, column \"w\" = \"nan\": not a finite number; write"));
    CHECK(has(gauged("x,w\n6,1e999\n"), "the number is too large to hold; check the number"));
    CHECK(has(gauged("x,w\n6,\"6,01\"\n"), "decimal comma; write"));
    CHECK(has(gauged("x,w,w\n6,6,6\n"), "two columns are named \"w\"; rename one"));
    CHECK(has(gauged("x;w\n6;6\n"),
              "there is no column \"x\"; line 1 is separated by semicolon: write"));
    CHECK(has(gauged("x,w1\n6,6\n"), "there is no column \"w\"; did you mean \"w1\"?"));
    // A column that is taken is not what another one means.
    CHECK(has(gauged("x,v\n6,6\n"), "there is no column \"w\"; did you mean \"v\"?"));
    CHECK(has(gauged("x,y z\n6,6\n"),
              "there is no column \"w\"; line 1 must name the columns, and has x, y z"));
    for (const std::string bytes : {"\x7f"
                                    "ELF\x02\x01;,\n",
                                    "\x89HDF\r\n\x1a\n",
                                    "a;b\x05;\n"}) {
        CHECK(has(gauged(bytes),
                  "line 1 holds bytes that are no text; save the table as CSV, or name another"));
    }
    std::string many = "x,w\n";
    for (int i = 0; i < 10001; ++i) {
        many += std::to_string(0.1 * i) + ",6\n";
    }
    CHECK(has(gauged("\xFF\xFEx\x01,\x01w\n"), "the file is UTF-16; save it as CSV in UTF-8"));
    CHECK(has(gauged(many), "has more than 10000 stations; is it the right file?"));
}
