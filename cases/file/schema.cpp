#include "cases/file/key.hpp"
#include "cases/file/read.hpp"

#include <algorithm>

#include <nlohmann/json.hpp>

/// JSON Schema of the case file from the key table.
namespace plenair {
namespace {

using file::Key;
using file::Kind;
using Json = nlohmann::ordered_json;

Json any_of(const std::vector<Json>& forms) {
    return Json{{"anyOf", forms}};
}

Json list_of(const Json& items) {
    return Json{{"type", "array"}, {"items", items}};
}

Json columns(const std::string& first, const std::string& second) {
    const Json text{{"type", "string"}};
    const Json cell = any_of({text, list_of(Json{{"type", "number"}})});
    return Json{{"type", "object"},
                {"properties", {{first, cell}, {second, cell}}},
                {"required", {first, second}},
                {"additionalProperties", false}};
}

/// Its words are names that the file itself gives: "<names of points>".
bool is_open(const Key& key) {
    return key.choices.find('<') != std::string_view::npos;
}

Json value_schema(const Key& key) {
    const Json text{{"type", "string"}};
    const Json number{{"type", "number"}};
    const auto choices = file::split(key.choices, '|');
    switch (key.kind) {
        case Kind::choice:
            return is_open(key) ? text : Json{{"enum", choices}};
        case Kind::choices:
            return list_of(is_open(key) ? text : Json{{"enum", choices}});
        case Kind::flag:
            return Json{{"enum", {"on", "off", true, false}}};
        case Kind::integer:
            return Json{{"type", "integer"}};
        case Kind::integers:
            return list_of(Json{{"type", "integer"}});
        case Kind::number:
            return number;
        case Kind::numbers:
            return any_of({number, list_of(number)});
        case Kind::quantity:
            return key.dimension == geometry::Dimension::ratio ? any_of({text, number}) : text;
        case Kind::quantities:
            return any_of({text, list_of(text)});
        case Kind::profile:
            return any_of({text, columns("x", "value")});
        case Kind::taper:
            return any_of({text, list_of(text), columns("start", "end"), columns("x", "value")});
        case Kind::over_speed:
            return any_of({key.dimension == geometry::Dimension::none ? number : text,
                           columns("speed", "value")});
        case Kind::table:
            return columns(choices[0], choices[1]);
        default:
            return text;
    }
}

Json empty_table() {
    return Json{
        {"type", "object"}, {"properties", Json::object()}, {"additionalProperties", false}};
}

/// The table schema a dotted name leads to, made on the way.
Json& table_at(Json& root, std::string_view name) {
    Json* at = &root;
    for (const auto& part : file::split(name, '.')) {
        auto& properties = (*at)["properties"];
        if (!properties.contains(part)) {
            properties[part] = empty_table();
        }
        at = &properties[part];
        if (at->contains("items")) {
            at = &(*at)["items"];
        }
    }
    return *at;
}

void add_key(Json& root, const Key& key) {
    const auto dot = key.name.rfind('.');
    const bool top = dot == std::string_view::npos;
    Json& table = top ? root : table_at(root, key.name.substr(0, dot));
    const std::string name(top ? key.name : key.name.substr(dot + 1));
    Json entry = key.kind == Kind::list ? list_of(empty_table()) : value_schema(key);
    entry["description"] = key.doc;
    table["properties"][name] = entry;
    if (key.required && !key.of_engine) {
        table["required"].push_back(name);
    }
}

}  // namespace

std::string json_schema() {
    Json root = empty_table();
    for (const auto& key : file::keys()) {
        add_key(root, key);
    }
    // A single throttle may be a plain table; a bank holds the parts with the keys they have at the
    // top.
    auto& properties = root["properties"];
    const Json list = properties["throttle"];
    properties["throttle"] = any_of({list["items"], list});
    auto& bank = properties["bank"]["items"]["properties"];
    for (const auto* part : {"throttle", "pre_chamber", "slot", "plenum", "runner"}) {
        bank[part] = Json{{"$ref", std::string("#/properties/") + part}};
    }
    properties["choose"]["properties"]["vary"] =
        Json{{"type", "object"},
             {"description",
              "Entries that may change, by name: { from, to, step }, and stations, change, per."}};
    // Sections whose keys are entries of the case have their own forms.
    properties["assumed"] = Json{
        {"type", "object"},
        {"description",
         "Entries that nobody has confirmed: engine.rod = \"basis\", or engine.rod = { basis = "
         "\"...\", within = \"12 %\" }."},
        {"additionalProperties", any_of({Json{{"type", "string"}}, Json{{"type", "object"}}})}};
    properties["sweep"]["additionalProperties"] =
        Json{{"type", {"array", "object", "string"}},
             {"description", "Values of the entry of that name: a list, or from, to and steps."}};
    // The charge is stated before the throttle or at the compressor.
    properties["point"]["items"]["oneOf"] = {
        {{"required", {"pressure", "temperature"}}},
        {{"required", {"compressor_pressure", "compressor_temperature"}}}};
    Json schema{{"$schema", "https://json-schema.org/draft/2020-12/schema"},
                {"title", "plenair case file, format 1"}};
    schema.update(root);
    return schema.dump(2) + "\n";
}

}  // namespace plenair
