// Control characters, NUL, and very much of anything, from files and from the command line.

#include "cases/file/read.hpp"
#include "cases/report/csv/cell.hpp"
#include "cases/study/visible_text.hpp"
#include "geometry/error.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/sweep_case.hpp"
#include "tests/support/terminal_bytes.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

#include <chrono>
#include <string>
#include <vector>

#include <fcntl.h>
#include <stdlib.h>  // NOLINT(modernize-deprecated-headers): posix_openpt
#include <unistd.h>

using namespace plenair;
using plenair::test::steering_in;
using plenair::test::sweep_case;

namespace {

/// ESC [ 31 m, BEL, CR, DEL, C1 CSI, right-to-left override and isolate, line separator, a tag.
const std::string nasty =
    R"(\u001b[31m\u0007\r\u007f\u009b31m\u202eab\u2066\u2028\U000e0041\u200f\ufeff)";

std::string replaced(std::string text, const std::string& from, const std::string& to) {
    const auto at = text.find(from);
    REQUIRE(at != std::string::npos);
    return text.replace(at, from.size(), to);
}

std::string quick_case() {
    return sweep_case("\"slot.width\" = \"4, 5 mm\"\n");
}

void check_clean(const std::vector<std::string>& arguments) {
    const auto outcome = run_plenair(arguments);
    CAPTURE(arguments.front());
    CAPTURE(outcome.out);
    CAPTURE(outcome.err);
    CHECK(steering_in(outcome.out).empty());
    CHECK(steering_in(outcome.err).empty());
    CHECK(outcome.status != 5);
    CHECK(outcome.status < 128);
}

double seconds_of(const std::string& text, std::string& messages) {
    const auto start = std::chrono::steady_clock::now();
    messages.clear();
    try {
        (void)parse_case(text, "case.toml", {});
    } catch (const InputError& error) {
        for (const auto& message : error.messages()) {
            messages += message + "\n";
        }
    }
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

}  // namespace

TEST_CASE("visible text: controls are written out, everything else is as it was") {
    CHECK(visible_text("a\tb 6 mm \xc3\xa9 \xe2\x82\xac", LineEnds::kept) ==
          "a\tb 6 mm \xc3\xa9 \xe2\x82\xac");
    CHECK(visible_text("\x1b[31m\a\r\x7f", LineEnds::kept) == "\\x1b[31m\\x07\\r\\x7f");
    CHECK(visible_text("\xc2\x9b\xe2\x80\xae\xf3\xa0\x81\x81", LineEnds::kept) ==
          "\\u009b\\u202e\\U000e0041");
    CHECK(visible_text("\xff\xc0\xaf\xed\xa0\x80", LineEnds::kept) ==
          "\\xff\\xc0\\xaf\\xed\\xa0\\x80");
    CHECK(visible_text("a\nb", LineEnds::kept) == "a\nb");
    CHECK(visible_text("a\nb", LineEnds::written_out) == "a\\nb");
    CHECK(visible_text(std::string("a\0b", 3), LineEnds::kept) == "a\\x00b");
}

TEST_CASE("terminal: titles, names, keys and values from a file cannot steer it") {
    const ScratchFolder scratch;
    const auto text = quick_case();
    const auto title = scratch.write(
        "title.toml", replaced(text, "Hill-climb four, two-chamber plenum", "x" + nasty));
    const auto name =
        scratch.write("name.toml", replaced(text, "name = \"top\"", "name = \"" + nasty + "\""));
    for (const auto& path : {title, name}) {
        check_clean({"check", path});
        check_clean({"check", path, "--json"});
        check_clean({"solve", path, "--bands", "off"});
        check_clean({"solve", path, "--bands", "off", "--json"});
        check_clean({"trim", path});
        check_clean({"compare", path, "--vary", "slot.width=4, 5 mm"});
        check_clean({"draw", path});
        check_clean({"draw", path, "--sheet"});
        check_clean({"sweep", path, "--folder", path + ".sweep"});
        check_clean({"solve", path, "--set", "slot.edge_radius=0 mm", "--set", "slot.land=0.1 mm"});
        // A result keeps the title, and what reads the result meets it again.
        for (const std::string ending : {".json", ".h5"}) {
            const auto result = path + ending;
            REQUIRE(
                run_plenair({"solve", path, "--bands", "off", "--quiet", "-o", result}).status ==
                0);
            check_clean({"trim", result});
            check_clean({"compare", result, result});
        }
    }
    for (const auto& line : std::vector<std::string>{"\"" + nasty + "\" = 1\n",
                                                     "[\"" + nasty + "\"]\nx = 1\n",
                                                     "[slot.\"" + nasty + "\"]\nx = 1\n"}) {
        check_clean({"check", scratch.write("key.toml", text + line)});
    }
    check_clean(
        {"check",
         scratch.write("value.toml", replaced(text, "\"6.0 mm\"", "\"6.0 " + nasty + "\""))});
    check_clean(
        {"check",
         scratch.write("feeds.toml", replaced(text, "\"pre_chamber\"", "\"" + nasty + "\""))});
    check_clean({"check", scratch.write("raw.toml", text + "\x1b[2J = 1\n")});
}

TEST_CASE("terminal: what stands on the command line cannot steer it either") {
    const ScratchFolder scratch;
    const auto path = scratch.write("case.toml", quick_case());
    const std::string raw = "\x1b[31m\a\r\x7f\xc2\x9b\xe2\x80\xae\xff";
    for (const auto& arguments : std::vector<std::vector<std::string>>{
             {"check", path, "--set", raw + "=1"},
             {"check", path, "--set", "slot.width=" + raw},
             {"check", path, "--set", "case.title=" + raw},
             {"check", path, "--set", raw},
             {"check", raw},
             {"check", path, "-o", raw},
             {"solve", path, "-o", scratch.path(raw + "/q.json")},
             {"compare", path, "--vary", raw + "=1, 2"},
             {"compare", path, "--vary", "slot.width=" + raw + ", 2 mm"},
             {"compare", path, "--vary", "slot.width=4, 5 mm", "--point", raw},
             {"sweep", path, "--part", raw},
             {"sweep", path, "--folder", path + "/" + raw},
             {"gather", raw},
             {"report", raw, "-o", raw + ".html"},
             {"report", path, "-o", scratch.path("r.html"), "--target", raw},
             {raw},
             {"solve", path, raw}}) {
        check_clean(arguments);
    }
}

namespace {

/// Whether this machine gives pseudo-terminals: a bare root without /dev/pts does not.
bool has_terminals() {
    const int control = ::posix_openpt(O_RDWR | O_NOCTTY);
    if (control < 0) {
        return false;
    }
    const bool opens = ::grantpt(control) == 0 && ::unlockpt(control) == 0;
    const char* name = opens ? ::ptsname(control) : nullptr;
    const int terminal = name == nullptr ? -1 : ::open(name, O_RDWR | O_NOCTTY);
    if (terminal >= 0) {
        ::close(terminal);
    }
    ::close(control);
    return terminal >= 0;
}

}  // namespace

TEST_CASE("terminal: on one only the program's own colours pass") {
    if (!has_terminals()) {
        MESSAGE("no pseudo-terminal is to be had here (/dev/pts): not tested");
        return;
    }
    const ScratchFolder scratch;
    auto text = replaced(quick_case(), "Hill-climb four, two-chamber plenum", "x" + nasty);
    text = replaced(text, "name = \"top\"", "name = \"\\u001b[1mtop\"");
    const auto path = scratch.write("case.toml", text);
    const auto shown = run_process(
        "/usr/bin/script",
        {"-qec",
         std::string("env -u NO_COLOR ") + PLENAIR_EXECUTABLE + " solve --bands off " + path,
         "/dev/null"});
    REQUIRE(has(shown.out, "Hill") == false);
    REQUIRE(has(shown.out, "\033[1m"));  // headings are bold
    CHECK_FALSE(has(shown.out, "\033[31m"));
    CHECK_FALSE(has(shown.out, "\a"));
    CHECK_FALSE(has(shown.out, "\xc2\x9b"));
    CHECK(has(shown.out, "\\x1b[31m\\x07\\r\\x7f\\u009b31m\\u202e"));
    CHECK(has(shown.out, "\\x1b[1mtop"));
}

TEST_CASE("text: a title on several lines is one line") {
    const auto text = replaced(quick_case(),
                               "\"Hill-climb four, two-chamber plenum\"",
                               "\"\"\"first\r\n  second\nwarning: none\"\"\"");
    CHECK(parse_case(text, "case.toml", {}).title == "first   second warning: none");
}

TEST_CASE("text: a NUL does not cut its message, and no text holds one") {
    const auto text = replaced(quick_case(), "\"6.0 mm\"", "\"6\\u0000 mm\"");
    std::string messages;
    (void)seconds_of(text, messages);
    CHECK(has(messages, "slot.width = 6\\x00 mm: "));
    CHECK(messages.back() == '\n');
    (void)seconds_of(replaced(quick_case(), "name = \"top\"", "name = \"t\\u0000p\""), messages);
    CHECK(has(messages, ": holds the character U+0000; leave it out"));
    const ScratchFolder scratch;
    const auto shown = run_plenair({"check", scratch.write("case.toml", text)});
    CHECK(shown.status == 2);
    CHECK(has(shown.err, "6\\x00 mm: \"\\x00\" is not a unit of length; use mm"));
}

TEST_CASE("much: faults beyond the first twenty are counted, in linear time") {
    std::string text = quick_case(), messages;
    for (int i = 0; i < 200000; ++i) {
        // Falling in the alphabet, so that each comes before all that were seen.
        text += "k" + std::to_string(999999 - i) + " = 1\n";
    }
    CHECK(seconds_of(text, messages) < 20);  // 38 s before, on an idle machine
    CHECK(split(messages, '\n').size() == 21);
    CHECK(has(messages, "case.toml: and 199,980 more; mend these first"));
    CHECK(messages.size() < 5000);

    // All of the command line: no file is named.
    std::vector<std::string> sets;
    for (int i = 0; i < 5000; ++i) {
        sets.push_back("k" + std::to_string(i) + "=1");
    }
    std::vector<std::string> said;
    try {
        (void)parse_case(quick_case(), "case.toml", sets);
    } catch (const InputError& error) {
        said = error.messages();
    }
    REQUIRE(said.size() == 21);
    CHECK(said.back() == "--set: and 4,980 more; mend these first");
}

TEST_CASE("much: long names and values give short messages") {
    const std::string longest(9000, 'x');
    for (const auto& text : {quick_case() + longest + " = 1\n",
                             quick_case() + "[[point]]\nname = \"" + longest + "\"\nspeeed = 1\n",
                             replaced(quick_case(), "\"6.0 mm\"", "\"" + longest + "\""),
                             replaced(quick_case(), "\"6.0 mm\"", "{ " + longest + " = 1 }")}) {
        std::string messages;
        (void)seconds_of(text, messages);
        CHECK_FALSE(messages.empty());
        for (const auto& message : split(messages, '\n')) {
            CHECK(message.size() < 1500);
        }
    }
}

TEST_CASE("much: more tables than any case has are refused with the line, at once") {
    for (const std::string list : {"bank", "point", "throttle", "slot.pieces"}) {
        CAPTURE(list);
        std::string text = "format = 1\n", messages;
        for (int i = 0; i < 200000; ++i) {
            text += "[[" + list + "]]\n";
        }
        CHECK(seconds_of(text, messages) < 10);  // 13 s before, without a line
        CHECK(
            has(messages, "case.toml:1002:1: " + list + ": 200000 tables; at most 1000 are read"));
    }
}

TEST_CASE("much: endless lists and endless depth are refused") {
    std::string numbers = "[", messages;
    for (int i = 0; i < 100000; ++i) {
        numbers += std::to_string(i) + ",\n";
    }
    (void)seconds_of(replaced(quick_case(), "[1, 3, 4, 2]", numbers + "]"), messages);
    CHECK(has(messages, "100000 items; at most 10000 are read"));
    std::string lines = "0";
    for (int i = 1; i < 20000; ++i) {
        lines += ", \n" + std::to_string(i);
    }
    (void)seconds_of(
        replaced(
            quick_case(), "\"6.0 mm\"", "{ x = \"\"\"" + lines + " mm\"\"\", value = \"6 mm\" }"),
        messages);
    CHECK(has(messages, "20000 items; at most 10000 are read"));
    std::string assumed = quick_case() + "[assumed]\n";
    for (int i = 0; i < 100000; ++i) {
        assumed += "\"a" + std::to_string(i) + "\" = \"x\"\n";
    }
    CHECK(seconds_of(assumed, messages) < 5);  // 28 s before
    CHECK(has(messages, "assumed: 100000 entries; at most 1000 are read: take the others out"));
    std::string key = "a", lists = "a = ", tables = "a = ";
    for (int i = 0; i < 40; ++i) {
        key += ".a";
        lists += "[";
        tables += "{ a = ";
    }
    CHECK(seconds_of(key + " = 1\n", messages) < 1);
    CHECK(has(messages, "case.toml:1:64: not valid TOML: the key has more than 32 parts"));
    CHECK(seconds_of(lists, messages) < 1);
    CHECK(has(messages, "more than 32 lists or tables inside one another"));
    CHECK(seconds_of(tables, messages) < 1);
    CHECK(has(messages, "more than 32 lists or tables inside one another"));
}

TEST_CASE("TOML: a quote inside what began as a number hides no character from the parser") {
    std::string messages;
    for (const std::string sign : {"\xc4\xa2", "\xc4\x80", "\xe2\x80\x9c", "\xf0\x9f\x98\x80"}) {
        for (const auto& value : {"[0, 3g_p-3[\"" + sign + "\" = ]",
                                  "[0, 3g_p-3[\"lbdepressi" + sign + "\" = ]",
                                  "3[\"a" + sign + "\"",
                                  "3{\"" + sign + "\"",
                                  "3=\"" + sign + "\"",
                                  "1.5.'" + sign + "'",
                                  "tru,'" + sign + "'"}) {
            CAPTURE(value);
            (void)seconds_of("format = 1\na = " + value + "\n", messages);
            CHECK(has(messages, "case.toml:2:"));
            CHECK_THROWS_AS((void)plenair::parse_case(
                                quick_case(), "case.toml", {"engine.firing_order=" + value}),
                            plenair::InputError);
        }
    }
}

TEST_CASE("TOML: what its parser takes for impossible is refused before it reads") {
    std::string messages;
    // Every character in several places outside quotes; the first of them reached code that the
    // compiler had left out.
    for (const std::string sign : {"\xc4\xa2",
                                   "\xe2\x80\x9c",
                                   "\xc2\xa0",
                                   "\xe3\x80\x80",
                                   "\xf0\x9f\x98\x80",
                                   "\xc2\x85",
                                   "\xe2\x80\xa8"}) {
        for (const auto& line : {"a = 0.4" + sign,
                                 "a = 1" + sign + "\n",
                                 sign + " = 1\n",
                                 "[" + sign + "]\n",
                                 "a = [1, " + sign + "]\n",
                                 "a" + sign + " = 1\n",
                                 "a = " + sign + "\n",
                                 "a = true" + sign + "\n",
                                 // A quote right behind a number opens nothing.
                                 "a = 8.9s\"r." + sign + "n\n",
                                 "a = 8.9\"" + sign + "\"\n",
                                 "a = 1'" + sign + "'\n",
                                 "a = 1979-05-27" + sign + "\n"}) {
            (void)seconds_of("format = 1\n" + line, messages);
            CHECK(has(messages, "case.toml:2:"));
            CHECK(has(messages, "not valid TOML: the character U+"));
            CHECK(has(messages, "; write"));
        }
        // In quotes and remarks they are text.
        (void)seconds_of(quick_case() + "[remarks]\nname = '" + sign + "' # " + sign + "\n",
                         messages);
        CAPTURE(messages);
        CHECK_FALSE(has(messages, "not valid TOML"));
    }
}

TEST_CASE("--set: numbers of every sign and size survive in the case's text") {
    for (const std::string number :
         {"-0.5", "-1e300", "1e-300", "0.1", "5.0", "0.30000000000000004"}) {
        CAPTURE(number);
        const std::string set = "case.notes=" + number;  // refused, but it must not be undefined
        CHECK_THROWS_AS((void)parse_case(quick_case(), "case.toml", {set}), InputError);
        try {
            const auto c = parse_case(quick_case(), "case.toml", {"combustion.wiebe_m=" + number});
            CHECK(parse_case(c.text, "case.toml", {}).digest == c.digest);
        } catch (const InputError& error) {
            CHECK(has(error.what(), "--set: combustion.wiebe_m"));
        }
    }
    const auto c = parse_case(quick_case(), "case.toml", {"case.title=a \"b\" \\ \x1b c"});
    const auto again = parse_case(c.text, "case.toml", {});
    CHECK(again.title == c.title);
    CHECK(again.digest == c.digest);
    CHECK(steering_in(c.text).empty());
}

TEST_CASE("--set: what stands in a table is named as --set, with what to do") {
    const auto said = [](const std::string& set) -> std::string {
        try {
            (void)parse_case(quick_case(), "case.toml", {set});
        } catch (const InputError& error) {
            return error.messages().front();
        }
        return {};
    };
    CHECK(said("slot.width={ speed = \"1000 rpm\", value = 1 }") ==
          "--set: unknown key slot.width.speed; leave it out, and write x and value");
    CHECK(said("slot={ widht = \"6 mm\" }").starts_with("--set: unknown key slot.widht; did you"));
    CHECK(said("point=[{ speeed = 1 }]").starts_with("--set: unknown key point.1.speeed; did you"));
    // Found by the fuzzer: the text that results keep held another title than the digest.
    CHECK(said("case.title=\xa4 b") ==
          "--set: case.title=\\xa4 b: byte A4 is no character of UTF-8; write it in UTF-8, as the "
          "terminal does by itself");
    // Runners stand along x themselves: their limits are those of the entry.
    CHECK(has(said("runner.x=-6"),
              "--set: runner.x = -6: no unit, and must be at least 0 mm; write"));
}

TEST_CASE("CSV: text that a spreadsheet would compute is defused, numbers stay numbers") {
    for (const std::string text : {"=1+1", "+cmd", "-x", "@SUM(A1)", " =1", "\t=1", "\r=1"}) {
        CHECK(has(csv_cell(text), "'" + text));
    }
    CHECK(csv_cell("=HYPERLINK(\"a\",\"b\")") == "\"'=HYPERLINK(\"\"a\"\",\"\"b\"\")\"");
    for (const std::string text : {"-1.5", "-1e-7", "6 mm", "a=b", ""}) {
        CHECK(csv_cell(text) == text);
    }
    const ScratchFolder scratch;
    const auto path =
        scratch.write("case.toml", replaced(quick_case(), "name = \"top\"", "name = \"=1+1\""));
    const auto table = scratch.path("q.csv");
    REQUIRE(run_plenair({"solve", path, "--bands", "off", "--quiet", "--csv", table}).status == 0);
    CHECK(has(read_text(table), "'=1+1"));
    CHECK_FALSE(has(read_text(table), "\n=1+1"));
}
