// A JSON result without a digest, as an editor leaves it: what the reader lets through must not
// upset what shows it, compares it and trims by it.

#include "cases/file/read.hpp"
#include "cases/report/csv.hpp"
#include "cases/report/difference.hpp"
#include "cases/report/html.hpp"
#include "cases/report/json.hpp"
#include "cases/report/terminal.hpp"
#include "cases/store/store.hpp"
#include "cases/study/difference.hpp"
#include "cases/study/error.hpp"
#include "cases/study/trim.hpp"
#include "geometry/error.hpp"
#include "tests/fuzz/fuzz.hpp"

#include <optional>

using namespace plenair;

namespace {

/// The case of the result, as the verbs take it.
std::optional<Case> case_of(const SolveResult& result) {
    try {
        return parse_case(result.case_text, "case", {});
    } catch (const InputError&) {
        return std::nullopt;
    }
}

void use(const SolveResult& result) {
    static const SolveResult first = result;
    (void)terminal_text(result, false);
    (void)json_text(result);
    (void)csv_text(result);
    const auto changed = difference({"a", "1", first, {}, {}}, {"b", "1", result, {}, {}});
    (void)terminal_text(changed, false);
    (void)json_text(changed);
    (void)csv_text(changed);
    ReportSource source;
    source.name = "a";
    source.result = result;
    source.design = case_of(result);
    (void)html_text({source}, {});
    if (source.design) {
        try {
            const TrimResult trims = trim(*source.design, result, {});
            (void)terminal_text(trims, false);
            (void)json_text(trims);
            (void)csv_text(trims);
        } catch (const InputError&) {
            // Of another engine.
        }
    }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static const fuzz::MemoryFile file;
    try {
        use(read_results_json(file.holding(fuzz::text_of(data, size))));
    } catch (const ReadError&) {
        // Refused.
    }
    return 0;
}
