#include "geometry/contract.hpp"

#if defined(PLENAIR_CONTRACTS)

#include <stdexcept>
#include <string>

namespace plenair {

void broken_contract(const char* condition, const char* file, int line) {
    throw std::logic_error("broken contract: " + std::string(condition) + " (" + file + ":" +
                           std::to_string(line) + ")");
}

}  // namespace plenair

#endif
