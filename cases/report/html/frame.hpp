#pragma once

#include "cases/report/html.hpp"

#include <string>
#include <utility>
#include <vector>

/// What every page of plenair has around its sections: head, policy, contents, scripts.
namespace plenair::html {

/// Id and heading of each section.
using Contents = std::vector<std::pair<std::string, std::string>>;

struct PageParts {
    std::string kind;  ///< what the page is, above its title
    std::string title, identity, body;  ///< HTML
    Contents contents;
    bool scripted = true;
    const LivePage* live = nullptr;  ///< null: none
    std::string data;  ///< JSON that the charts read, where the page is scripted
};

/// One page without any outside address, with a policy that allows its own style and scripts alone.
[[nodiscard]] std::string page_text(const PageParts& parts);

}  // namespace plenair::html
