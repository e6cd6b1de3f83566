#pragma once

#include <cstdint>
#include <string>
#include <utility>

namespace plenair {

/// Owner of one HDF5 identifier; closes it at the end of its life. Same integer type as HDF5's own.
class Handle final {
public:
    using Id = std::int64_t;
    using Close = int (*)(Id);

    Handle() = default;
    Handle(Id id, Close closing) : id_(id), close_(closing) {}
    Handle(const Handle&) = delete;
    Handle& operator=(const Handle&) = delete;
    Handle(Handle&& other) noexcept
        : id_(std::exchange(other.id_, -1)), close_(std::exchange(other.close_, nullptr)) {}
    Handle& operator=(Handle&& other) noexcept {
        std::swap(id_, other.id_);
        std::swap(close_, other.close_);
        return *this;
    }
    ~Handle() { close(); }

    /// Closes now. @returns false where HDF5 could not, as on a full disk.
    bool close() {
        const bool done = id_ < 0 || close_ == nullptr || close_(id_) >= 0;
        id_ = -1;
        return done;
    }
    [[nodiscard]] Id id() const { return id_; }
    [[nodiscard]] bool valid() const { return id_ >= 0; }

private:
    Id id_ = -1;
    Close close_ = nullptr;
};

/// Keeps HDF5 from printing its error stack while alive: the library reports by exceptions only. As
/// long as one lives, HDF5 is at work (hdf5_life.hpp).
class QuietHdf5 final {
public:
    QuietHdf5();
    ~QuietHdf5();
    QuietHdf5(const QuietHdf5&) = delete;
    QuietHdf5& operator=(const QuietHdf5&) = delete;
    QuietHdf5(QuietHdf5&&) = delete;
    QuietHdf5& operator=(QuietHdf5&&) = delete;

private:
    void* function_ = nullptr;
    void* data_ = nullptr;
};

/// Variable-length UTF-8 string type.
[[nodiscard]] Handle string_type();

}  // namespace plenair
