// Writes one good input for each reader of stored files below the folder that is named.

#include "cases/report/json.hpp"
#include "cases/store/store.hpp"
#include "cases/store/sweep_codec.hpp"
#include "cases/study/json_digest.hpp"
#include "tests/support/sample_results.hpp"

#include <nlohmann/json.hpp>

#include <filesystem>
#include <fstream>
#include <string>
#include <string_view>
#include <vector>

using namespace plenair;

namespace {

void write(const std::filesystem::path& path, std::string_view bytes) {
    std::filesystem::create_directories(path.parent_path());
    std::ofstream(path, std::ios::binary) << bytes;
}

}  // namespace

int main(int count, char** words) {
    if (count != 2) {
        return 2;
    }
    const std::filesystem::path folder = words[1];
    const SolveResult sample = test::sample_solve();
    write(folder / "result_json/whole.json", json_text(sample));
    // As an editor leaves it: with the case that belongs to it, and without its digest.
    auto edited = nlohmann::ordered_json::parse(json_text(sample));
    edited.erase(content_digest_key);
    write(folder / "result_use/edited.json", edited.dump());
    std::filesystem::create_directories(folder / "result_hdf5");
    write_results((folder / "result_hdf5/whole.h5").string(), sample);

    SweepInfo info;
    info.digest = "sha256:01";
    info.case_text = "format = 1\n";
    info.method = "grid";
    info.inputs = {{"slot.width", true, "m", "mm"}};
    info.points = {"A4"};
    info.cylinders = {1, 2};
    info.firing_positions = {1, 2};
    info.count = 2;
    info.block_size = 8;
    write(folder / "sweep_store/sweep.json", encode_info(info));
    std::vector<VariantRecord> records(2);
    for (auto& record : records) {
        record.inputs = {{0.006, "6 mm"}};
        record.points = {sample.points.front()};
    }
    const auto block = encode_block(info, 0, records);
    const std::string_view bytes(reinterpret_cast<const char*>(block.data()), block.size());
    write(folder / "sweep_store/block.cbor", bytes);
    const auto packed = nlohmann::ordered_json::from_cbor(block).at("records").get_binary();
    write(folder / "sweep_store/records.cbor",
          {reinterpret_cast<const char*>(packed.data()), packed.size()});
    return 0;
}
