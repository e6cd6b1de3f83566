#include "cases/command/output_paths.hpp"

#include "cases/command/output_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <string>
#include <system_error>
#include <vector>

#include "geometry/error.hpp"

namespace plenair::command {

namespace fs = std::filesystem;

namespace {

/// A file that the request writes, and the option that says so; empty where it is the default.
struct Output {
    std::string option, path;
};

/// Free of links, "." and "..", also where the last parts do not exist yet.
fs::path plain_path(const std::string& path) {
    std::error_code failed;
    const auto whole = fs::absolute(target_of(path), failed);
    const auto plain = fs::weakly_canonical(whole, failed);
    return failed ? whole.lexically_normal() : plain;
}

bool same_file(const std::string& a, const std::string& b) {
    std::error_code failed;
    if (fs::equivalent(a, b, failed) && !failed) {
        return true;  // also by a hard link
    }
    return plain_path(a) == plain_path(b);
}

bool writes_sweep(std::string_view verb) {
    return verb == "sweep" || verb == "gather";
}

std::vector<std::string> inputs_of(const Request& request) {
    std::vector<std::string> inputs = request.inputs;
    for (const auto& path : {request.case_path, request.other_path, request.measured}) {
        if (!path.empty()) {
            inputs.push_back(path);
        }
    }
    return inputs;
}

std::vector<Output> outputs_of(const Request& request, std::string_view verb) {
    std::vector<Output> outputs;
    if (!request.output.empty()) {
        outputs.push_back({"-o", request.output});
    } else if (writes_sweep(verb) && request.part.empty()) {
        outputs.push_back({"", sweep_result(request, sweep_folder(request))});
    }
    if (!request.csv.empty()) {
        outputs.push_back({"--csv", request.csv});
    }
    if (!request.blank.empty()) {
        outputs.push_back({"--blank", request.blank});
    }
    return outputs;
}

void refuse_input(const Output& output,
                  const std::vector<std::string>& inputs,
                  std::vector<std::string>& faults) {
    const auto input = std::find_if(inputs.begin(), inputs.end(), [&](const std::string& path) {
        return same_file(path, output.path);
    });
    if (input == inputs.end()) {
        return;
    }
    const std::string option = output.option.empty() ? "" : output.option + " ";
    const std::string fault =
        *input == output.path
            ? "this command reads this file and would replace it"
            : fmt::format("is the same file as {}, which this command reads and would replace",
                          *input);
    faults.push_back(fmt::format("{}{}: {}; name another file{}",
                                 option,
                                 output.path,
                                 fault,
                                 option.empty() ? " with -o" : ""));
}

/// Blocks, description and locks of a sweep; its folder is free for other files.
void refuse_store_file(const Output& output,
                       const std::string& folder,
                       std::vector<std::string>& faults) {
    const auto place = plain_path(output.path).lexically_relative(plain_path(folder));
    const std::string first = place.empty() ? "" : place.begin()->string();
    if (first == ".") {
        faults.push_back(fmt::format(
            "{} {}: is the folder of the sweep; name a file", output.option, output.path));
    }
    if (first == "blocks" || first == "sweep.json" || first == "lock" ||
        first.starts_with("lock-")) {
        faults.push_back(fmt::format("{} {}: the sweep keeps its own work there; name another file",
                                     output.option,
                                     output.path));
    }
}

void refuse_table_ending(const std::string& csv, std::vector<std::string>& faults) {
    std::string ending = fs::path(csv).extension().string();
    std::transform(ending.begin(), ending.end(), ending.begin(), [](char c) {
        return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    });
    if (ending == ".h5" || ending == ".json" || ending == ".toml") {
        faults.push_back(fmt::format(
            "--csv {}: a table is written as text, which {} does not promise; use a name that ends "
            "in .csv, for example --csv {}",
            csv,
            ending,
            fs::path(csv).replace_extension(".csv").string()));
    }
}

}  // namespace

std::string sweep_folder(const Request& request) {
    if (!request.folder.empty()) {
        return request.folder;
    }
    return fs::path(request.case_path).stem().string() + ".sweep";
}

std::string sweep_result(const Request& request, const std::string& folder) {
    return request.output.empty() ? folder + "/result.h5" : request.output;
}

void check_output_paths(const Request& request, std::string_view verb) {
    std::vector<std::string> faults;
    const auto inputs = inputs_of(request);
    if (std::count(inputs.begin(), inputs.end(), "-") > 1) {
        faults.emplace_back("-: standard input is one file; name the other one");
    }
    if (verb == "sweep" && request.case_path == "-" && request.folder.empty()) {
        faults.emplace_back(
            "-: a case from standard input has no name; say where the sweep is "
            "kept, for example --folder widths");
    }
    const auto outputs = outputs_of(request, verb);
    for (const auto& output : outputs) {
        const std::size_t before = faults.size();
        refuse_input(output, inputs, faults);
        if (writes_sweep(verb) && faults.size() == before) {
            refuse_store_file(output, sweep_folder(request), faults);
        }
        if (output.option == "--csv" && faults.size() == before) {
            refuse_table_ending(output.path, faults);
        }
    }
    if (faults.empty() && outputs.size() == 2 && same_file(outputs[0].path, outputs[1].path)) {
        const auto& first = outputs[0];
        faults.push_back(
            first.option.empty()
                ? fmt::format("--csv {} and the result {} name the same file; give two names",
                              outputs[1].path,
                              first.path)
                : fmt::format("{} {} and --csv {} name the same file; give two names",
                              first.option,
                              first.path,
                              outputs[1].path));
    }
    if (!faults.empty()) {
        throw InputError(faults);
    }
}

}  // namespace plenair::command
