#include "cases/file/toml_write.hpp"

#include "cases/file/toml.hpp"
#include "cases/study/visible_text.hpp"

#include <algorithm>
#include <cmath>
#include <sstream>

#include <fmt/format.h>

namespace plenair::file {
namespace {

bool is_bare(char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_' ||
           c == '-';
}

std::string number_text(double number) {
    if (std::isnan(number)) {
        return "nan";
    }
    if (std::isinf(number)) {
        return number < 0 ? "-inf" : "inf";
    }
    // The shortest text that reads back to the same bits.
    const std::string text = fmt::format("{}", number);
    return text.find_first_of(".e") == std::string::npos ? text + ".0" : text;
}

bool is_list_of_tables(const toml::node& node) {
    const auto* list = node.as_array();
    return list != nullptr && !list->empty() && list->is_array_of_tables();
}

/// Whether it stands below a header of its own.
bool has_header(const toml::node& node) {
    const auto* table = node.as_table();
    return (table != nullptr && !table->is_inline()) || is_list_of_tables(node);
}

/// First the entries, then the tables below: what follows a header belongs to it.
void write_table(const toml::table& table, const std::string& path, std::string& out) {
    for (const auto& [key, node] : table) {
        if (!has_header(node)) {
            out += fmt::format("{} = {}\n", toml_key(key.str()), toml_value(node));
        }
    }
    for (const auto& [key, node] : table) {
        if (!has_header(node)) {
            continue;
        }
        const std::string name = (path.empty() ? "" : path + ".") + toml_key(key.str());
        if (const auto* inner = node.as_table()) {
            out += fmt::format("\n[{}]\n", name);
            write_table(*inner, name, out);
        } else {
            for (const auto& item : *node.as_array()) {
                out += fmt::format("\n[[{}]]\n", name);
                write_table(*item.as_table(), name, out);
            }
        }
    }
}

}  // namespace

std::string toml_string(std::string_view text) {
    std::string quoted = "\"";
    while (!text.empty()) {
        const Character c = first_character(text);
        if (c.code == '"' || c.code == '\\') {
            quoted += '\\';
            quoted += static_cast<char>(c.code);
        } else if (!c.valid) {
            quoted += "\\uFFFD";  // only an override can hold one
        } else if (c.code == '\t') {
            quoted += "\\t";
        } else if (c.code == '\n') {
            quoted += "\\n";
        } else if (steers_terminal(c.code)) {
            quoted += fmt::format("\\U{:08X}", static_cast<unsigned>(c.code));
        } else {
            quoted += text.substr(0, c.bytes);
        }
        text.remove_prefix(c.bytes);
    }
    return quoted + "\"";
}

std::string toml_key(std::string_view key) {
    const bool bare = !key.empty() && std::all_of(key.begin(), key.end(), is_bare);
    return bare ? std::string(key) : toml_string(key);
}

std::string toml_value(const toml::node& node) {
    std::string inner;
    if (const auto* list = node.as_array()) {
        for (const auto& item : *list) {
            inner += (inner.empty() ? "" : ", ") + toml_value(item);
        }
        return "[" + inner + "]";
    }
    if (const auto* table = node.as_table()) {
        for (const auto& [name, value] : *table) {
            inner += fmt::format(
                "{} {} = {}", inner.empty() ? "" : ",", toml_key(name.str()), toml_value(value));
        }
        return "{" + inner + " }";
    }
    if (const auto* number = node.as_floating_point()) {
        return number_text(number->get());
    }
    if (const auto* whole = node.as_integer()) {
        return fmt::format("{}", whole->get());
    }
    if (const auto* flag = node.as_boolean()) {
        return flag->get() ? "true" : "false";
    }
    if (const auto* text = node.as_string()) {
        return toml_string(text->get());
    }
    std::ostringstream out;  // dates and times
    node.visit([&out](const auto& n) { out << n; });
    return out.str();
}

std::string toml_document(const toml::table& table) {
    std::string out;
    write_table(table, "", out);
    return out;
}

}  // namespace plenair::file
