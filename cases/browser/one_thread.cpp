#include "cases/base/parallel.hpp"

#include <exception>

namespace plenair {

/// A page has no threads: jobs in their order, and, as with threads, all of them before an error
/// passes.
void for_each_job(std::size_t count, int /*threads*/, const std::function<void(std::size_t)>& job) {
    std::exception_ptr first;
    for (std::size_t i = 0; i < count; ++i) {
        try {
            job(i);
        } catch (...) {
            if (!first) {
                first = std::current_exception();
            }
        }
    }
    if (first) {
        std::rethrow_exception(first);
    }
}

}  // namespace plenair
