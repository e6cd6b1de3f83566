#include "cases/base/parallel.hpp"

#include "cases/base/thread_start.hpp"

#include <algorithm>
#include <atomic>
#include <exception>
#include <thread>
#include <vector>

namespace plenair {

std::size_t threads_of(int wish) {
    return wish > 0 ? static_cast<std::size_t>(wish)
                    : std::max(1u, std::thread::hardware_concurrency());
}

void for_each_job(std::size_t count, int threads, const std::function<void(std::size_t)>& job) {
    std::vector<std::exception_ptr> errors(count);
    std::atomic<std::size_t> next{0};
    const auto work = [&] {
        for (std::size_t i = next++; i < count; i = next++) {
            try {
                job(i);
            } catch (...) {
                errors[i] = std::current_exception();
            }
        }
    };
    const std::size_t wanted = threads_of(threads);
    {
        std::vector<std::jthread> helpers;
        for (std::size_t t = 1; t < std::min(wanted, count) && start_thread(helpers, work); ++t) {
        }
        work();
    }
    for (const auto& error : errors) {
        if (error) {
            std::rethrow_exception(error);
        }
    }
}

}  // namespace plenair
