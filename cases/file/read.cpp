#include "cases/file/read.hpp"

#include "cases/file/build.hpp"
#include "cases/file/normalise.hpp"
#include "cases/file/sweep_axes.hpp"
#include "cases/file/text.hpp"
#include "cases/file/toml.hpp"
#include "cases/file/units.hpp"

#include <utility>

namespace plenair {

using file::Messages;

Case parse_case(std::string_view text, std::string path, const std::vector<std::string>& sets) {
    Messages messages(path);
    file::check_text(text, messages);
    Case c;
    c.path = std::move(path);
    if (!messages.any_error()) {
        if (const auto table = file::parse_toml(text, sets, messages)) {
            c.units = file::units_of(*table);
            messages.show_in(c.units);
            const auto root = file::read_scopes(*table, messages);
            (void)file::read_axes(*table, messages);
            file::build_case(root, c, messages);
            file::check_assumed(root, c, messages);
            if (!messages.any_error()) {
                c.text = file::text_after(text, *table, !sets.empty());
                c.digest = file::digest(root);
                c.echo = file::echo(root, c.units);
            }
        }
    }
    if (messages.any_error()) {
        throw InputError(messages.errors());
    }
    c.warnings = messages.warnings();
    return c;
}

Case read_case(const std::string& path, const std::vector<std::string>& sets) {
    return parse_case(file::read_text(path), file::shown_path(path), sets);
}

}  // namespace plenair
