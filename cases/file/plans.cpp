#include "cases/file/plans.hpp"

#include "cases/file/choose.hpp"
#include "cases/file/document.hpp"
#include "cases/file/sweep.hpp"
#include "cases/file/tolerance.hpp"
#include "cases/file/toml.hpp"
#include "geometry/error.hpp"

namespace plenair {

void check_plans(std::string_view text,
                 const std::string& path,
                 const std::vector<std::string>& sets) {
    file::Messages ignored(path);  // said by parse_case
    const auto table = file::parse_toml(text, sets, ignored);
    if (!table) {
        return;
    }
    std::vector<std::string> faults;
    const auto check = [&](const char* section, const auto& read) {
        if (!table->contains(section)) {
            return;
        }
        try {
            (void)read();
        } catch (const InputError& error) {
            faults.insert(faults.end(), error.messages().begin(), error.messages().end());
        }
    };
    check("sweep", [&] { return parse_sweep(text, path, sets, {most_variants, "sweep less"}); });
    check("choose", [&] { return parse_choose(text, path, sets); });
    check("tolerance", [&] { return parse_tolerance(text, path, sets); });
    if (!faults.empty()) {
        throw InputError(faults);
    }
}

}  // namespace plenair
