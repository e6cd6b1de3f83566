#pragma once

#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

namespace plenair {

/// What a user can mend: bad input. Carries every message of one run, in file order.
class InputError final : public std::runtime_error {
public:
    explicit InputError(std::vector<std::string> messages)
        : std::runtime_error(join(messages)), messages_(std::move(messages)) {}
    [[nodiscard]] const std::vector<std::string>& messages() const { return messages_; }

private:
    static std::string join(const std::vector<std::string>& messages) {
        std::string all;
        for (const auto& message : messages) {
            all += message;
            all += '\n';
        }
        return all;
    }
    std::vector<std::string> messages_;
};

}  // namespace plenair
