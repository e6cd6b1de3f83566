#include "cases/store/sweep_codec.hpp"

#include "cases/base/sha256.hpp"
#include "cases/study/error.hpp"
#include "cases/study/json_digest.hpp"
#include "cases/study/quantities.hpp"
#include "cases/study/version.hpp"

#include <fmt/format.h>

#include <nlohmann/json.hpp>
#include <stdexcept>

namespace plenair {

namespace {

using Json = nlohmann::ordered_json;

constexpr auto store_format = "plenair.sweep-folder/1";
constexpr auto block_format = "plenair.sweep-block/3";

template <class Result>
Json numbers_of(const Result& result,
                const std::vector<Quantity<Result>>& quantities,
                bool converged) {
    Json numbers = Json::array();
    for (const auto& quantity : quantities) {
        numbers.push_back(quantity.stored(result.*quantity.member, converged));
    }
    return numbers;
}

template <class Result>
void read_numbers(const Json& numbers,
                  const std::vector<Quantity<Result>>& quantities,
                  Result& result) {
    for (std::size_t i = 0; i < quantities.size(); ++i) {
        result.*quantities[i].member = numbers.at(i).get<double>();
    }
}

Json json_of(const PointResult& point) {
    Json cylinders = Json::array();
    for (const auto& c : point.cylinders) {
        cylinders.push_back({c.cylinder, numbers_of(c, cylinder_quantities(), point.converged)});
    }
    return {point.converged,
            point.cycles,
            point.failure,
            point.notes,
            numbers_of(point, point_quantities(), point.converged),
            cylinders};
}

PointResult point_of(const Json& json, const std::string& name) {
    PointResult point;
    point.name = name;
    point.converged = json.at(0).get<bool>();
    point.cycles = whole_from(json.at(1));
    point.failure = json.at(2).get<std::string>();
    point.notes = json.at(3).get<std::vector<std::string>>();
    read_numbers(json.at(4), point_quantities(), point);
    for (const auto& item : json.at(5)) {
        auto& cylinder = point.cylinders.emplace_back();
        cylinder.cylinder = whole_from(item.at(0));
        read_numbers(item.at(1), cylinder_quantities(), cylinder);
    }
    return point;
}

Json json_of(const VariantRecord& record) {
    Json inputs = Json::array();
    for (const auto& input : record.inputs) {
        inputs.push_back({input.number, input.text});
    }
    Json points = Json::array();
    for (const auto& point : record.points) {
        points.push_back(json_of(point));
    }
    return {inputs, record.failure, points};
}

VariantRecord record_of(const Json& json, const SweepInfo& info) {
    VariantRecord record;
    for (const auto& item : json.at(0)) {
        record.inputs.push_back({item.at(0).get<double>(), item.at(1).get<std::string>()});
    }
    record.failure = json.at(1).get<std::string>();
    for (const auto& item : json.at(2)) {
        record.points.push_back(point_of(item, info.points.at(record.points.size())));
    }
    const bool complete = record.points.size() == info.points.size() ||
                          (record.points.empty() && !record.failure.empty());
    if (record.inputs.size() != info.inputs.size() || !complete) {
        throw std::out_of_range("record");
    }
    return record;
}

using Bytes = std::vector<std::uint8_t>;

std::string sha256_of(const Bytes& bytes) {
    return sha256({reinterpret_cast<const char*>(bytes.data()), bytes.size()});
}

ReadError damaged(const std::string& path) {
    return ReadError(fmt::format("{}: is damaged; run sweep on this folder again", path));
}

}  // namespace

std::string this_program() {
    return fmt::format("{} ({})", version(), git_sha());
}

std::string encode_info(const SweepInfo& info) {
    Json inputs = Json::array();
    for (const auto& input : info.inputs) {
        inputs.push_back({{"key", input.key},
                          {"numeric", input.numeric},
                          {"units", input.units},
                          {"shown_unit", input.shown_unit}});
    }
    Json json{{"format", store_format},
              {"program", this_program()},
              {"title", info.title},
              {"case_digest", info.case_digest},
              {"sweep_digest", info.digest},
              {"method", info.method},
              {"precision", info.precision},
              {"tolerance", info.tolerance},
              {"variants", info.count},
              {"block_size", info.block_size},
              {"blocks", info.blocks()},
              {"inputs", inputs},
              {"points", info.points},
              {"cylinders", info.cylinders},
              {"firing_positions", info.firing_positions},
              {"case_text", info.case_text}};
    json[content_digest_key] = content_digest(json);
    return json.dump(2) + "\n";
}

SweepInfo decode_info(std::string_view text, const std::string& path, std::string& program) try {
    const Json json = parse_json(text);
    if (json.at("format") != store_format) {
        throw ReadError(fmt::format("{}: has format {}, this program reads {}; use another folder",
                                    path,
                                    json.at("format").dump(),
                                    store_format));
    }
    // Another program's folder is refused by name, whatever it calls its digest.
    if (json.at("program") == this_program() && seal_of(json) != Seal::whole) {
        throw ReadError(fmt::format(
            "{}: is damaged: its content is not that of its digest; use another folder", path));
    }
    program = json.at("program").get<std::string>();
    SweepInfo info;
    info.title = json.at("title").get<std::string>();
    info.case_digest = json.at("case_digest").get<std::string>();
    info.case_text = json.at("case_text").get<std::string>();
    info.digest = json.at("sweep_digest").get<std::string>();
    info.method = json.at("method").get<std::string>();
    info.precision = json.at("precision").get<std::string>();
    info.tolerance = json.at("tolerance").get<double>();
    info.count = whole_from<std::size_t>(json.at("variants"));
    info.block_size = whole_from<std::size_t>(json.at("block_size"));
    for (const auto& item : json.at("inputs")) {
        info.inputs.push_back({item.at("key").get<std::string>(),
                               item.at("numeric").get<bool>(),
                               item.at("units").get<std::string>(),
                               item.at("shown_unit").get<std::string>()});
    }
    info.points = json.at("points").get<std::vector<std::string>>();
    info.cylinders = whole_numbers_from(json.at("cylinders"));
    info.firing_positions = whole_numbers_from(json.at("firing_positions"));
    if (info.count == 0 || info.block_size == 0 || info.points.empty() ||
        info.firing_positions.size() != info.cylinders.size()) {
        throw ReadError(fmt::format("{}: describes no sweep; use another folder", path));
    }
    return info;
} catch (const Json::exception&) {
    throw ReadError(fmt::format("{}: is damaged; use another folder", path));
}

std::vector<std::uint8_t> encode_block(const SweepInfo& info,
                                       std::size_t block,
                                       const std::vector<VariantRecord>& records) {
    Json list = Json::array();
    for (const auto& record : records) {
        list.push_back(json_of(record));
    }
    // As bytes within the block, so that one changed bit of any number is noticed.
    Bytes packed = Json::to_cbor(list);
    Json json{{"format", block_format},
              {"sweep", info.digest},
              {"block", block},
              {"sha256", sha256_of(packed)}};
    json["records"] = Json::binary(std::move(packed));
    return Json::to_cbor(json);
}

std::vector<VariantRecord> decode_block(const SweepInfo& info,
                                        std::size_t block,
                                        const std::vector<std::uint8_t>& bytes,
                                        const std::string& path) try {
    const Json json = Json::from_cbor(bytes);
    if (json.at("format") != block_format || json.at("sweep") != info.digest ||
        json.at("block") != block) {
        throw ReadError(fmt::format(
            "{}: is not this block of this sweep; run sweep on this folder again", path));
    }
    const Bytes& packed = json.at("records").get_binary();
    if (sha256_of(packed) != json.at("sha256").get<std::string>()) {
        throw damaged(path);
    }
    const Json list = Json::from_cbor(packed);
    std::vector<VariantRecord> records;
    for (const auto& item : list) {
        records.push_back(record_of(item, info));
    }
    if (records.size() != info.size_of(block)) {
        throw damaged(path);
    }
    return records;
} catch (const Json::exception&) {
    throw damaged(path);
} catch (const std::out_of_range&) {
    throw damaged(path);
}

}  // namespace plenair
