#include <doctest/doctest.h>

#include <sys/resource.h>

#include "cases/report/charts/charts.hpp"
#include "cases/report/html.hpp"
#include "cases/report/markup/markup.hpp"
#include "cases/store/store.hpp"
#include "tests/support/run_plenair.hpp"
#include "tests/support/run_process.hpp"
#include "tests/support/sample_results.hpp"
#include "tests/support/text.hpp"

#include <nlohmann/json.hpp>

#include <algorithm>
#include <cmath>
#include <regex>
#include <string>
#include <vector>

namespace {

using plenair::html_text;
using plenair::ReportOptions;
using plenair::ReportSource;

const std::string four = "cases/shipped/hill-climb-four/case.toml";

/// Processor time of the programs run so far [s]: what the clock would show were nothing else
/// running.
double children_seconds() {
    rusage used{};
    getrusage(RUSAGE_CHILDREN, &used);
    const auto seconds = [](const timeval& time) {
        return static_cast<double>(time.tv_sec) + 1e-6 * static_cast<double>(time.tv_usec);
    };
    return seconds(used.ru_utime) + seconds(used.ru_stime);
}

std::size_t count(const std::string& text, const std::string& part) {
    std::size_t found = 0;
    for (auto at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++found;
    return found;
}

/// Whether this build has the scripted charts (PLENAIR_CHARTS).
bool bundled() {
    return !plenair::charts().script.empty();
}

/// The page's curves over crank angle are those of the result's file: they close after a cycle and
/// keep inside the file's extremes, and only those stand there that the page draws.
void check_page_traces(const std::string& page, const nlohmann::json& file) {
    const std::string mark = "id=\"data\">";
    const auto from = page.find(mark) + mark.size();
    const auto data = nlohmann::json::parse(page.substr(from, page.find("</script>", from) - from));
    const auto& points = data["results"][0]["points"];
    REQUIRE(points.size() == file["points"].size());
    for (std::size_t p = 0; p < points.size(); ++p) {
        const auto& filed = file["points"][p]["traces"];
        // Mouth and valve of each of four cylinders, both ends and the middle of the plenum.
        CHECK(points[p]["traces"].size() == 11);
        for (const auto& trace : points[p]["traces"]) {
            // Pressures of plenums stand under the chamber's name.
            const std::string quantity =
                trace.contains("part") ? trace["part"].template get<std::string>() + "_pressure_" +
                                             trace["place"].template get<std::string>()
                                       : trace["quantity"].template get<std::string>();
            CAPTURE(quantity);
            const auto same = std::find_if(filed.begin(), filed.end(), [&](const auto& each) {
                return each["quantity"] == quantity &&
                       each.value("cylinder", 0) == trace.value("cylinder", 0);
            });
            REQUIRE(same != filed.end());
            const double unit = (*same)["unit"] == "Pa"     ? 1e3
                                : (*same)["unit"] == "kg/s" ? 1e-3
                                                            : 1.0;
            const auto values = (*same)["value"].template get<std::vector<double>>();
            const double step = 1 / trace["steps_per_unit"].template get<double>();
            const auto [low, high] = std::minmax_element(values.begin(), values.end());
            double at = 0, first = 0, least = HUGE_VAL, most = -HUGE_VAL;
            for (const auto& change : trace["changes"]) {
                at += change.template get<double>() * step;
                if (least > most) first = at;
                least = std::min(least, at);
                most = std::max(most, at);
            }
            CHECK(trace["changes"].size() == 361);
            CHECK(std::abs(at - first) < 1e-6);
            CHECK(least > *low / unit - step);
            CHECK(most < *high / unit + step);
            // Every two degrees: near an extreme little is lost between two samples.
            CHECK(most - least > 0.9 * (*high - *low) / unit - step);
        }
    }
}

ReportSource sample() {
    ReportSource source;
    source.name = "sample";
    source.result = plenair::test::sample_solve();
    return source;
}

std::string page_of(const ReportSource& source, bool scripts = true) {
    ReportOptions options;
    options.time = "noon";
    options.scripts = scripts;
    return html_text({source}, options);
}

}  // namespace

TEST_SUITE("page") {
    TEST_CASE("report: what came from a file stands as text") {
        ReportSource source = sample();
        const std::string hostile = "</script><script>alert(\"1\" + '2')</script><img src=x>&amp;";
        source.name = hostile;
        source.result.title = hostile;
        source.result.case_digest = hostile;
        source.result.points[0].name = hostile;
        source.result.points[0].notes = {hostile};
        source.result.points[0].pressures[0].part = hostile;
        source.result.points[1].failure = hostile;
        for (const auto& page :
             {page_of(source), html_text({source, source}, {}), page_of(source, false)}) {
            CHECK(!has(page, "<script>alert"));
            CHECK(!has(page, "<img"));
            CHECK(!has(page, "alert(\"1\""));
            CHECK(has(page, "&lt;/script&gt;&lt;script&gt;alert(&quot;1&quot; + &#39;2&#39;)"));
        }
    }

    TEST_CASE("report: bytes that are no text cannot break the page") {
        using plenair::html::escaped;
        CHECK(escaped("a\xFFz") == "a\xEF\xBF\xBDz");
        CHECK(escaped("\xC3\xA9") == "\xC3\xA9");
        CHECK(escaped("\xC3") == "\xEF\xBF\xBD");
        CHECK(escaped("\xED\xA0\x80") == "\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD");
        CHECK(escaped(std::string("a\0\x1B[31m\nb", 9)) == "a[31m\nb");
        CHECK(plenair::html::safe_json("{\"a\":\"</script>&\"}") ==
              "{\"a\":\"\\u003c/script\\u003e\\u0026\"}");
    }

    TEST_CASE("report: the policy admits this style and this script and nothing else") {
        const auto page = page_of(sample());
        using plenair::html::policy_source;
        const auto& charts = plenair::charts();
        const auto script =
            bundled() ? "; script-src " + policy_source(charts.script_digest) : std::string();
        const auto expected = "content=\"default-src 'none'; style-src " +
                              policy_source(charts.style_digest) + script +
                              "; base-uri 'none'; form-action 'none'\"";
        CHECK(has(page, expected));
        CHECK(!has(page, "unsafe"));
        CHECK(!has(page, " style=\""));
        CHECK(!has(page, " onclick="));
        // SHA-256 of "abc", FIPS 180-4 example, in base64.
        CHECK(policy_source("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad") ==
              "'sha256-ungWv48Bz+pBQUDeXa4iI7ADYaOWF3qctBD/YfIAFa0='");
    }

    TEST_CASE("report: no address but the names of two vocabularies stands in the page") {
        std::string page = page_of(sample());
        for (const std::string vocabulary : {"http://www.w3.org/2000/svg",
                                             "http://www.w3.org/1999/xhtml",
                                             "http://www.w3.org/1999/xlink",
                                             "http://www.w3.org/XML/1998/namespace",
                                             "http://www.w3.org/2000/xmlns/"}) {
            for (auto at = page.find(vocabulary); at != std::string::npos;
                 at = page.find(vocabulary)) {
                page.erase(at, vocabulary.size());
            }
        }
        CHECK(!has(page, "http:"));
        CHECK(!has(page, "https:"));
        CHECK(!has(page, "src="));
        CHECK(!has(page, "@import"));
        CHECK(!has(page, "url("));
    }

    TEST_CASE("report: without scripts the key chart is still there, and no script at all") {
        const auto page = page_of(sample(), false);
        CHECK(!has(page, "<script"));
        CHECK(!has(page, "script-src"));
        CHECK(!has(page, "<figure class=\"chart\""));
        CHECK(has(page, "Static report without scripts"));
        CHECK(count(page, "<svg class=\"panel\"") == 2);
        CHECK(count(page, "class=\"bar") == 2);
        CHECK(has(page, "A4 at 8600 rpm: cylinder 1 +0.8 %, cylinder 2 -0.8 %"));
    }

    TEST_CASE("report: bias has one decimal, sign and uncertainty beside it") {
        const auto page = page_of(sample());
        CHECK(has(page, "Against measurements stand parts only"));
        CHECK_FALSE(has(page, "against hardware"));
        CHECK(has(page, ">+0.8<"));
        CHECK(has(page, ">&minus;0.8<"));
    }

    TEST_CASE("report: nothing inside the band is called a difference") {
        // The sample's spread of 1.5 % lies inside its band of 2 %.
        const auto page = page_of(sample());
        CHECK(has(page, "not more than the 2.0 % that can be told apart"));
        CHECK(!has(page, "the most air"));
        CHECK(!has(page, "bar more"));
        CHECK(!has(page, "class=\"more-"));
        auto narrow = sample();
        narrow.result.points[0].bias_band = 0.003;
        CHECK(has(page_of(narrow), "cylinder 1 gets the most air (+0.8 %)"));
    }

    TEST_CASE("report: a point that did not converge shows why and no shares") {
        const auto page = page_of(sample());
        CHECK(has(page, "<strong>A5 did not converge</strong>"));
        CHECK(has(page, "residual 0.02 after 3 cycles"));
        CHECK(!has(page, "55.4"));
        CHECK(!has(page, "77.7"));
    }

    TEST_CASE("report: a point without traces asks for a run with traces") {
        auto source = sample();
        source.result.points[0].traces.clear();
        source.result.points[0].crank_angle.clear();
        const auto page = page_of(source);
        CHECK(has(page, "re-run with traces"));
        CHECK(!has(page, "data-chart=\"crank\" data-result"));
    }

    TEST_CASE("report: cautions stand in every report and defer to others") {
        for (const bool scripts : {true, false}) {
            const auto page = page_of(sample(), scripts);
            for (const std::string part : {"<dt>Fuel</dt>",
                                           "<dt>Lean running</dt>",
                                           "<dt>Pressure</dt>",
                                           "<dt>Machining</dt>",
                                           "<dt>Nitrous</dt>",
                                           "Local codes, event rules"}) {
                CAPTURE(part);
                CHECK(has(page, part));
            }
        }
    }
}

TEST_SUITE("command") {
    TEST_CASE(
        "report: HDF5 and JSON of one result give the same bytes, in under a second of work") {
        const ScratchFolder scratch;
        const auto h5 = scratch.path("a.h5"), json = scratch.path("b.json"),
                   from_h5 = scratch.path("a.html"), from_json = scratch.path("b.html");
        REQUIRE(run_plenair({"solve", four, "--traces", "--bands", "off", "--quiet", "-o", h5})
                    .status == 0);
        REQUIRE(run_plenair({"solve", four, "--traces", "--bands", "off", "--quiet", "-o", json})
                    .status == 0);
        const double start = children_seconds();
        const auto told = run_plenair({"report", h5, "-o", from_h5, "--time", "noon"});
        const double took = children_seconds() - start;
        REQUIRE(told.status == 0);
        CHECK(std::regex_search(told.out, std::regex(": 1 result, [0-9]+ kB\n$")));
        REQUIRE(run_plenair({"report", json, "-o", from_json, "--time", "noon"}).status == 0);
        const auto page = read_text(from_h5);
        CHECK(page == read_text(from_json));
        CHECK(has(page, "Report made: noon"));
#if !defined(__SANITIZE_ADDRESS__)  // a sanitizer takes several times as long; people use release
        CHECK(took < 1.0);
#endif
        check_page_traces(page, nlohmann::json::parse(read_text(json)));
        MESSAGE("5 points with traces: " << page.size() / 1000 << " kB in " << took << " s");
        CHECK(page.size() < 1500000);  // with the working model
        const auto plain = scratch.path("plain.html");
        REQUIRE(run_plenair({"report", h5, "--no-live", "--quiet", "-o", plain}).status == 0);
        CHECK(read_text(plain).size() < 1000000);
        // 400 x 80 mm at 255 - 93.9 = 161.1 kPa: 0.032 m2 x 161100 Pa = 5155 N = 525.7 kgf.
        CHECK(has(page, "A lid of 400 x 80 mm at 161 kPa g carries <strong>5.2 kN (526 kgf)"));
        CHECK(has(page, "Why bench and engine differ"));
        CHECK(has(page, "Start line at 640 m"));
    }

    TEST_CASE("report: two results side by side list what changed in and out") {
        const ScratchFolder scratch;
        const auto before = scratch.path("before.h5"), after = scratch.path("after.json"),
                   out = scratch.path("both.html");
        const std::string narrow = "slot.width=5 mm";
        REQUIRE(run_plenair({"solve", four, "--bands", "off", "--quiet", "-o", before}).status ==
                0);
        REQUIRE(
            run_plenair({"solve", four, "--set", narrow, "--bands", "off", "--quiet", "-o", after})
                .status == 0);
        REQUIRE(run_plenair({"report", before, after, "-o", out, "--quiet"}).status == 0);
        const auto page = read_text(out);
        const auto inputs = page.substr(page.find("What went in"), 1500);
        CHECK(
            has(inputs, "<th scope=\"row\" class=\"word\">slot.width</th><td class=\"word\">6 mm"));
        CHECK(count(inputs.substr(0, inputs.find("</table>")), "<tr><th scope=\"row\"") == 1);
        CHECK(has(page, "What came out, from 0.1 % on"));
        CHECK(has(page, "none: inside &plusmn;0.5 %"));
        CHECK(has(page, "<td class=\"word\">slot loss</td>"));
        CHECK(has(page, "<td class=\"word\">bias, cylinder "));
    }

    TEST_CASE("report: a case file is solved with traces; hostile title and notes are text") {
        const ScratchFolder scratch;
        auto text = read_text(four);
        const auto title = text.find("title = ");
        text.replace(title,
                     text.find('\n', title) - title,
                     "title = \"<script>alert(1)</script> \\\"quoted\\\" 'too'\"");
        const auto notes = text.find("notes = ");
        text.replace(
            notes, text.find('\n', notes) - notes, "notes = \"</pre><script>alert(2)</script>\"");
        const auto path = scratch.write("case.toml", text), out = scratch.path("r.html");
        REQUIRE(run_plenair({"report", path, "-o", out, "--quiet"}).status == 0);
        const auto page = read_text(out);
        CHECK(!has(page, "<script>alert"));
        CHECK(
            has(page, "<title>&lt;script&gt;alert(1)&lt;/script&gt; &quot;quoted&quot; &#39;too"));
        CHECK(has(page, "&lt;/pre&gt;&lt;script&gt;alert(2)&lt;/script&gt;"));
        CHECK(has(page, "data-chart=\"crank\" data-result") == bundled());
    }

    TEST_CASE("report: wrong usage names the fault and writes nothing") {
        const ScratchFolder scratch;
        const auto out = scratch.path("r.html");
        const auto bare = run_plenair({"report", "-o", out});
        CHECK(bare.status == 2);
        CHECK(has(bare.err, "no case file given"));
        CHECK(run_plenair({"report", four}).status == 2);
        const auto pdf = run_plenair({"report", four, "-o", scratch.path("r.pdf")});
        CHECK(pdf.status == 2);
        CHECK(has(pdf.err, "ends in .html"));
        const auto missing = run_plenair({"report", scratch.path("none.h5"), "-o", out});
        CHECK(missing.status == 4);
        CHECK(has(missing.err, "none.h5: cannot read"));
        const auto other = scratch.write("x.json", "{\"format\": \"plenair.bench/1\"}");
        const auto bench = run_plenair({"report", other, "-o", out});
        CHECK(bench.status == 4);
        CHECK(has(bench.err, "holds plenair.bench/1, not plenair.solve/1"));
        const auto half = scratch.write("y.json", "{\"format\": \"plenair.solve/1\"");
        const auto broken = run_plenair({"report", half, "-o", out});
        CHECK(broken.status == 4);
        CHECK(has(broken.err, "not a complete result of solve"));
        const auto set = run_plenair({"report", half, "--set", "slot.width=5 mm", "-o", out});
        CHECK(set.status == 2);
        CHECK(has(set.err, "--set changes a case"));
        const auto folder = run_plenair({"report", four, "-o", scratch.path("no/r.html")});
        CHECK(folder.status == 4);
        CHECK(has(folder.err, "no/r.html"));
        CHECK(read_text(out).empty());
    }

    TEST_CASE("report: a result read back from JSON is the result that was written") {
        const ScratchFolder scratch;
        const auto json = scratch.path("a.json"), again = scratch.path("b.json");
        REQUIRE(run_plenair({"solve", four, "--traces", "--bands", "off", "--quiet", "-o", json})
                    .status == 0);
        const auto result = plenair::read_results_json(json);
        CHECK(result.points.size() == 5);
        CHECK(result.points[0].traces.size() > 5);
        CHECK(result.points[4].pressures.size() == 2);
        CHECK(result.case_text == read_text(four));
        plenair::write_results(again, result);
        CHECK(plenair::read_results(again).points[3].cylinders[2].bias ==
              result.points[3].cylinders[2].bias);
    }
}
