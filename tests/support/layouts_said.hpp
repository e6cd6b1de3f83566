#pragma once

#include "tests/support/layouts.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/text.hpp"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <algorithm>
#include <regex>
#include <string>
#include <utility>
#include <vector>

/// What plenair says of a layout, output by output, for tests that hold it against the metal.
namespace plenair::test {

/// All that one case says.
struct Said {
    std::string where;  ///< "five-side: solve"
    std::string text;
};

/// Text of a page as a reader sees it: no scripts, no tags, entities resolved where they matter.
inline std::string visible(std::string page) {
    page = std::regex_replace(page, std::regex("<br>"), " ");
    std::string text;
    for (std::size_t i = 0; i < page.size(); ++i) {
        if (page.compare(i, 8, "<script>") == 0 || page.compare(i, 8, "<script ") == 0) {
            i = page.find("</script>", i);
        } else if (page.compare(i, 7, "<style>") == 0) {
            i = page.find("</style>", i);
        }
        if (page[i] == '<') {
            i = page.find('>', i);
            text += ' ';
        } else {
            text += page[i];
        }
    }
    return text;
}

inline std::string printed(const std::vector<std::string>& arguments) {
    const auto outcome = run_plenair(arguments);
    CAPTURE(arguments.front());
    REQUIRE_MESSAGE(outcome.status == 0, outcome.err);
    return outcome.out;
}

/// Texts of a DXF file: the lines below group code 1.
inline std::string texts_of(const std::string& dxf) {
    std::string texts;
    const auto lines = split(dxf, '\n');
    for (std::size_t i = 0; i + 1 < lines.size(); i += 2) {
        if (lines[i] == "  1") texts += lines[i + 1] + "\n";
    }
    return texts;
}

/// What is said does not depend on the cells: coarse ones cost a fifth.
inline std::string coarse(const std::string& text, bool inches) {
    return std::regex_replace(text,
                              std::regex("(\n\\[\\[point\\]\\])"),
                              std::string("\n[model]\ncells = \"largest cell ") +
                                  (inches ? "3.2 in" : "80 mm") + "\"\n$1",
                              std::regex_constants::format_first_only);
}

/// Layouts that the dearer verbs are run with: one bank and two, three cylinders and two, inches
/// and millimetres.
inline bool small(const std::string& name) {
    return name == "three-far" || name == "v2-two-banks";
}
/// Those that a page of variants is made of: besides them a side feed and many cylinders.
inline bool swept(const std::string& name) {
    return small(name) || name == "five-side" || name == "v12-two-banks";
}

/// Runs verbs on one case and keeps what they say.
class Speaker final {
public:
    explicit Speaker(const std::string& name)
        : name_(name),
          slot_(layout(name).intake.banks.front().slot.has_value()),
          inches_(layout(name).units.inches()),
          text_(coarse(read_text(layout_path(name)), inches_)),
          path_(scratch_.write("case.toml", text_)) {}

    /// Every verb that a case of an engine can be given, in every format that it has; the dearer
    /// ones of few layouts.
    std::vector<Said> all() {
        add("check", printed({"check", path_}));
        add("check --json", printed({"check", path_, "--json"}));
        for (const std::string verb : {"solve", "bench", "trim"}) both(verb, {"--bands", "off"});
        both("compare", {"--vary", vary("="), "--point", "low"});
        drawings();
        if (swept(name_)) sweep();
        if (small(name_)) {
            both("causes", {"--point", "low"});
            both("tolerance", {});
            choose();
            readings();
        }
        made("report", {"report", scratch_.path("solve.json"), "--no-live"}, "r.html");
        return std::move(said_);
    }

private:
    [[nodiscard]] std::string vary(const std::string& sign) const {
        const std::string key = slot_ ? "slot.land" : "runner.bell_radius";
        const std::string values = inches_ ? "0.28, 0.35 in" : "7, 9 mm";
        return sign == "=" ? key + "=" + values : "\"" + key + "\" = \"" + values + "\"";
    }
    void add(const std::string& what, std::string text) {
        said_.push_back({name_ + ": " + what, std::move(text)});
    }
    /// One run gives what is printed and the JSON.
    void both(const std::string& verb,
              std::vector<std::string> arguments,
              const std::string& path = "") {
        const std::string file = scratch_.path(verb + ".json");
        arguments.insert(arguments.begin(), {verb, path.empty() ? path_ : path});
        arguments.insert(arguments.end(), {"-o", file});
        add(verb, printed(arguments));
        add(verb + " --json", read_text(file));
    }
    /// What a file says that is made quietly.
    void made(const std::string& what,
              std::vector<std::string> arguments,
              const std::string& file) {
        arguments.insert(arguments.end(), {"--quiet", "-o", scratch_.path(file)});
        printed(arguments);
        const std::string text = read_text(scratch_.path(file));
        add(what, file.ends_with(".dxf") ? texts_of(text) : visible(text));
    }
    void drawings() {
        made("draw", {"draw", path_}, "d.svg");
        made("dxf", {"draw", path_}, "d.dxf");
        if (slot_) made("sheet", {"draw", path_, "--sheet"}, "s.html");
        printed({"fit", path_, "--blank", scratch_.path("blank.toml")});
        add("blank", read_text(scratch_.path("blank.toml")));
    }
    void sweep() {
        const auto path = scratch_.write("sweep.toml", text_ + "\n[sweep]\n" + vary(" = ") + "\n");
        printed({"sweep",
                 path,
                 "--folder",
                 scratch_.path("blocks"),
                 "-o",
                 scratch_.path("s.h5"),
                 "--csv",
                 scratch_.path("s.csv"),
                 "--quiet"});
        add("sweep csv", read_text(scratch_.path("s.csv")));
        made("sweep page", {"report", scratch_.path("s.h5")}, "o.html");
    }
    void choose() {
        const std::string range = inches_
                                      ? "from = \"0.15 in\", to = \"0.35 in\", step = \"0.02 in\""
                                      : "from = \"4 mm\", to = \"9 mm\", step = \"0.5 mm\"";
        const auto path = scratch_.write("choose.toml",
                                         text_ +
                                             "\n[choose]\nmake_best = \"spread\"\n"
                                             "[choose.vary]\n\"slot.width\" = { " +
                                             range +
                                             " }\n[[choose.limit]]\nof = \"slot_loss\"\n"
                                             "most = \"16 kPa\"\n");
        both("choose", {"--bands", "off"}, path);
    }
    /// Readings made up of what the bench predicts and of targets.
    void readings() {
        const auto bench = nlohmann::json::parse(read_text(scratch_.path("bench.json")));
        const auto& slot = bench.at("set_ups").at(0);
        const std::string bank = slot.at("bank").get<std::string>();
        const std::string whose = bank.empty() ? "" : "bank = \"" + bank + "\"\n";
        const auto cylinders = layout(name_).engine.cylinder_count();
        std::string lambdas = "0.87";
        for (int c = 1; c < cylinders; ++c) lambdas += ", 0.89";
        const auto path = scratch_.write(
            "measured.toml",
            "format = 1\n[measured]\ntitle = \"made up\"\n[[gauge]]\n" + whose +
                "entry = \"slot.edge_radius\"\nvalue = \"1.6 mm\"\ninstrument = \"radius gauge\"\n"
                "[[bench]]\n" +
                whose + "set_up = \"slot\"\ndepression = \"28 inH2O\"\nflow = \"" +
                std::to_string(1010 * slot.at("flow_kg_s").get<double>()) +
                " g/s\"\ntemperature = \"20 degC\"\nbarometer = \"100 kPa abs\"\n[[engine]]\n"
                "point = \"low\"\nlambda = [" +
                lambdas + "]\nsensor = \"runner\"\n");
        add("readings", printed({"bench", path_, "--measured", path, "--bands", "off"}));
        both("fit", {"--measured", path});
    }

    const ScratchFolder scratch_;
    std::string name_;
    bool slot_, inches_;
    std::string text_, path_;
    std::vector<Said> said_;
};

inline const Said& said_by(const std::vector<Said>& all, const std::string& verb) {
    return *std::find_if(all.begin(), all.end(), [&](const auto& said) {
        return said.where.ends_with(": " + verb);
    });
}

}  // namespace plenair::test
