#include "cases/store/handle.hpp"

#include "cases/store/hdf5_life.hpp"

#include <hdf5.h>

#include <atomic>
#include <type_traits>

namespace plenair {

static_assert(std::is_same_v<hid_t, Handle::Id>, "HDF5 1.10 or later: 64-bit identifiers");

namespace {

std::atomic<int> at_work{0};
static_assert(std::atomic<int>::is_always_lock_free);

}  // namespace

bool hdf5_at_work() noexcept {
    return at_work.load() > 0;
}

QuietHdf5::QuietHdf5() {
    ++at_work;
    // HDF5 stays as it is when the program ends: its files are closed by then, and to tidy up after
    // a failure it frees what it has freed before.
    static const bool kept = H5dont_atexit() >= 0;
    (void)kept;
    H5E_auto2_t function = nullptr;
    H5Eget_auto2(H5E_DEFAULT, &function, &data_);
    function_ = reinterpret_cast<void*>(function);
    H5Eset_auto2(H5E_DEFAULT, nullptr, nullptr);
}

QuietHdf5::~QuietHdf5() {
    H5Eset_auto2(H5E_DEFAULT, reinterpret_cast<H5E_auto2_t>(function_), data_);
    --at_work;
}

Handle string_type() {
    Handle type(H5Tcopy(H5T_C_S1), H5Tclose);
    const bool made =
        H5Tset_size(type.id(), H5T_VARIABLE) >= 0 && H5Tset_cset(type.id(), H5T_CSET_UTF8) >= 0;
    return made ? std::move(type) : Handle{};
}

}  // namespace plenair
