#include "cases/command/deciding.hpp"
#include "cases/command/formats.hpp"

#include <fmt/format.h>

#include "cases/command/deliver.hpp"
#include "cases/command/option_kinds.hpp"
#include "cases/command/options.hpp"
#include "geometry/error.hpp"

namespace plenair::command {

void add_answer_files(CLI::App& verb,
                      Request& request,
                      const std::string& answer,
                      const std::string& table) {
    add_name(verb, "-o,--output", request.output, "Write " + answer + ": .json or .csv")
        ->type_name("FILE");
    add_csv_option(verb, request, "Write " + table + " as CSV as well");
}

void check_answer_files(const Request& request, const std::string& verb) {
    if (!request.output.empty() &&
        file_kind(request.output, "use .json or .csv, for example -o result.json") ==
            FileKind::hdf5) {
        throw InputError({fmt::format("-o {}: {} writes .json or .csv", request.output, verb)});
    }
    check_outputs(request);
}

}  // namespace plenair::command
