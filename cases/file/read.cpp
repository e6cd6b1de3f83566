#include "cases/file/read.hpp"

#include "cases/file/build.hpp"
#include "cases/file/measured_kind.hpp"
#include "cases/file/normalise.hpp"
#include "cases/file/reading.hpp"
#include "cases/file/text.hpp"
#include "cases/file/toml.hpp"
#include "cases/file/units.hpp"

#include <utility>

namespace plenair {

namespace file {

Messages CaseReading::messages() const {
    Messages messages(path);
    messages.show_in(c.units);
    return messages;
}

CaseReading read_once(std::string_view text,
                      std::string path,
                      const std::vector<std::string>& sets) {
    Messages messages(path);
    check_text(text, messages);
    auto table = messages.any_error() ? std::nullopt : parse_toml(text, sets, messages);
    CaseReading reading;
    Case& c = reading.c;
    c.path = path;
    if (table && is_measured_file(*table)) {
        messages.error({1, 1},
                       "this is a measured file, not a case; name the case, and this file behind "
                       "--measured");
    } else if (table) {
        c.units = units_of(*table);
        messages.show_in(c.units);
        reading.root = read_scopes(*table, messages);
        reading.axes = read_axes(*table, messages);
        build_case(reading.root, c, messages);
        check_assumed(reading.root, c, messages);
    }
    if (messages.any_error()) {
        throw InputError(messages.errors());
    }
    c.text = text_after(text, *table, !sets.empty());
    c.digest = digest(reading.root);
    c.echo = echo(reading.root, c.units);
    c.warnings = messages.warnings();
    reading.path = std::move(path);
    reading.text = text;
    reading.sets = sets;
    reading.table = std::make_shared<const toml::table>(std::move(*table));
    return reading;
}

}  // namespace file

Case parse_case(std::string_view text, std::string path, const std::vector<std::string>& sets) {
    return file::read_once(text, std::move(path), sets).c;
}

Case read_case(const std::string& path, const std::vector<std::string>& sets) {
    return parse_case(file::read_text(path), file::shown_path(path), sets);
}

}  // namespace plenair
