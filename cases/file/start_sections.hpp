#pragma once

#include "cases/file/start.hpp"
#include "cases/file/start_answers.hpp"
#include "cases/file/start_draft.hpp"

#include <string>
#include <string_view>
#include <vector>

/// The sections of a started case, in the order of the file.
namespace plenair::file {

/// Entries of a shipped case.
struct StartLiked {
    TomlValues values;  ///< outside its points
    std::vector<TomlValues> points;
};

struct StartWritten {
    Draft draft{false};
    int cylinders = 0, banks = 1;
    std::string order;  ///< "1-3-4-2"
    std::string plenum_volume;
    std::string feed;
    std::string speeds;
    std::string boost;
};

[[nodiscard]] StartWritten write_start(const StartRequest& request,
                                       const StartPlan& plan,
                                       const StartLiked& liked);

/// What was written for a question, in the words of an answer.
[[nodiscard]] std::string assumed_answer_of(const StartWritten& written, std::string_view question);

}  // namespace plenair::file
