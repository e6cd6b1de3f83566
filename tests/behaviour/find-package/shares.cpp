// Share of the air of each cylinder for three widths of the slot.
#include <cstdio>
#include <exception>
#include <string>

#include "cases/file/read.hpp"
#include "cases/report/json.hpp"
#include "cases/study/study.hpp"
#include "geometry/error.hpp"

int main(int argc, char** argv) {
    try {
        const std::string path = argc > 1 ? argv[1] : "case.toml";
        plenair::SolveOptions options;
        options.threads = 2;
        for (const std::string width : {"4 mm", "6 mm", "8 mm"}) {
            const plenair::Case c = plenair::read_case(path, {"slot.width=" + width});
            const plenair::SolveResult result = plenair::solve(c, options);
            for (const auto& point : result.points) {
                if (!point.converged) {
                    std::printf("%s %s: no result: %s\n",
                                width.c_str(),
                                point.name.c_str(),
                                point.failure.c_str());
                    continue;
                }
                std::printf("%s %s:", width.c_str(), point.name.c_str());
                for (const auto& cylinder : point.cylinders) {
                    std::printf(" %d %+.1f %%", cylinder.cylinder, 100 * cylinder.bias);
                }
                std::printf("\n");
            }
        }
        // The same text as plenair check --json prints.
        return plenair::json_text(plenair::check(plenair::read_case(path, {}))).empty() ? 1 : 0;
    } catch (const plenair::InputError& error) {
        for (const auto& message : error.messages()) {
            std::fprintf(stderr, "%s\n", message.c_str());
        }
        return 2;
    } catch (const std::exception& error) {
        std::fprintf(stderr, "%s\n", error.what());
        return 1;
    }
}
