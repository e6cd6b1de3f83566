#pragma once

#include "cases/study/sweep.hpp"

#include <cstddef>
#include <string>
#include <vector>

namespace plenair {

/// The folder in which a sweep keeps its finished blocks: sweep.json says what it belongs to, each
/// block is one file in blocks/. Every file is written beside its name, brought to the disk and
/// then renamed, so that whatever has a name is whole. docs/how-to/sweep.md lists the files.
class SweepStore final {
public:
    /// For a run of this sweep: makes the folder, or checks that it belongs to the same case, sweep
    /// and program.
    /// @throws InputError  where it belongs to something else, with what differs
    /// @throws WriteError, ReadError
    SweepStore(std::string folder, const SweepInfo& info);
    /// For reading. @throws ReadError  where the folder is none
    explicit SweepStore(std::string folder);

    [[nodiscard]] const SweepInfo& info() const { return info_; }
    [[nodiscard]] const std::string& folder() const { return folder_; }
    [[nodiscard]] bool has(std::size_t block) const;
    /// Blocks not there yet.
    [[nodiscard]] std::vector<std::size_t> missing() const;
    /// Blocks of this part that have a file which cannot be read as that block.
    [[nodiscard]] std::vector<std::size_t> damaged(std::size_t part = 0,
                                                   std::size_t parts = 1) const;
    /// File of a block within the folder, "blocks/0000/00000012.cbor".
    [[nodiscard]] static std::string file_of(std::size_t block);
    /// @throws WriteError  the store is then as before
    void save(std::size_t block, const std::vector<VariantRecord>& records) const;
    /// @throws ReadError  where the block is missing or damaged
    [[nodiscard]] std::vector<VariantRecord> load(std::size_t block) const;
    /// What all finished blocks take on the disk.
    [[nodiscard]] std::size_t bytes() const;
    /// Removes what a killed run left unfinished in its part. Call with the part locked.
    void remove_leftovers(std::size_t part, std::size_t parts) const;

private:
    [[nodiscard]] std::string path_of(std::size_t block) const;

    std::string folder_;
    SweepInfo info_;
};

/// Makes a folder with those above it. @throws WriteError
void make_folder(const std::string& folder);

}  // namespace plenair
