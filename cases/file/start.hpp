#pragma once

#include <cstddef>
#include <map>
#include <string>
#include <string_view>
#include <vector>

/// A case of one's own from what a designer knows by heart; every other entry is assumed, says so,
/// and says on what it rests.
namespace plenair {

/// One thing that is asked.
struct StartQuestion {
    std::string_view name;  ///< of the option: "bore" is --bore
    std::string_view text;  ///< "Cylinder bore"
    std::string_view example;  ///< "86 mm"
    bool needed = false;  ///< nothing could be assumed
};

/// In the order in which they are asked.
[[nodiscard]] const std::vector<StartQuestion>& start_questions();

/// What was answered.
struct StartRequest {
    std::map<std::string, std::string, std::less<>> answers;  ///< as typed, by name of the question
    std::vector<std::string> sets;  ///< "key=value": any other entry
    std::string title;
    bool inches = false;  ///< lengths that are assumed come in inches
    std::string like;  ///< name of a case whose entries stand where nothing was answered
    std::string like_text;  ///< that case
};

/// What came of it.
struct StartedCase {
    std::string text;  ///< the case file
    std::size_t given = 0, assumed = 0;  ///< entries
};

/// What is wrong with one answer and how to mend it; empty: it is good. `request` holds the
/// answers before it.
[[nodiscard]] std::string answer_fault(const StartRequest& request,
                                       std::string_view question,
                                       const std::string& text);

/// What would be assumed for a question, in the words of an answer; empty where nothing can be.
[[nodiscard]] std::string assumed_answer(const StartRequest& request, std::string_view question);

/// The case file: complete, commented, its assumed entries marked and listed in [assumed].
/// @throws InputError  with every wrong or missing answer
[[nodiscard]] StartedCase start_case(const StartRequest& request);

}  // namespace plenair
