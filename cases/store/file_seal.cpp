#include "cases/store/file_seal.hpp"

#include "cases/base/sha256_stream.hpp"
#include "cases/store/whole_file.hpp"
#include "cases/study/error.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <string_view>
#include <vector>

namespace plenair {

namespace {

constexpr std::string_view lead = "\nplenair content sha256:";
constexpr std::size_t digits = 64;
constexpr std::size_t seal_size = lead.size() + digits + 1;

/// An open file; closed at its end.
class OpenFile final {
public:
    OpenFile(const std::string& path, int flags) : file_(::open(path.c_str(), flags | O_CLOEXEC)) {
        if (file_ < 0) {
            throw FileError(errno);
        }
    }
    ~OpenFile() { ::close(file_); }
    OpenFile(const OpenFile&) = delete;
    OpenFile& operator=(const OpenFile&) = delete;
    OpenFile(OpenFile&&) = delete;
    OpenFile& operator=(OpenFile&&) = delete;

    /// As many bytes as are there, at most `wanted`. @throws FileError
    [[nodiscard]] std::string_view read(std::vector<char>& buffer, std::size_t wanted) const {
        std::size_t got = 0;
        while (got < wanted) {
            const auto more = ::read(file_, buffer.data() + got, wanted - got);
            if (more == 0) {
                break;
            }
            if (more > 0) {
                got += static_cast<std::size_t>(more);
            } else if (errno != EINTR) {
                throw FileError(errno);
            }
        }
        return {buffer.data(), got};
    }
    [[nodiscard]] std::size_t size() const {
        const auto end = ::lseek(file_, 0, SEEK_END);
        if (end < 0 || ::lseek(file_, 0, SEEK_SET) < 0) {
            throw FileError(errno);
        }
        return static_cast<std::size_t>(end);
    }
    void append(std::string_view text) const {
        if (::lseek(file_, 0, SEEK_END) < 0) {
            throw FileError(errno);
        }
        while (!text.empty()) {
            const auto written = ::write(file_, text.data(), text.size());
            if (written >= 0) {
                text.remove_prefix(static_cast<std::size_t>(written));
            } else if (errno != EINTR) {
                throw FileError(errno);
            }
        }
    }

private:
    int file_;  // descriptor
};

/// Digest of the first `size` bytes.
std::string digest_of(const OpenFile& file, std::size_t size) {
    constexpr std::size_t piece = std::size_t{1} << 20U;
    std::vector<char> buffer(std::min(piece, size + 1));
    Sha256 digest;
    while (size > 0) {
        const auto bytes = file.read(buffer, std::min(buffer.size(), size));
        if (bytes.empty()) {
            break;  // shorter than it was a moment ago: the digest will tell
        }
        digest.add(bytes);
        size -= bytes.size();
    }
    return digest.digits();
}

}  // namespace

void seal_file(const std::string& path) {
    const OpenFile file(path, O_RDWR);
    file.append(fmt::format("{}{}\n", lead, digest_of(file, file.size())));
}

void expect_seal(const std::string& path) try {
    const OpenFile file(path, O_RDONLY);
    const std::size_t size = file.size();
    std::string found;
    std::string computed;
    if (size >= seal_size) {
        computed = digest_of(file, size - seal_size);
        std::vector<char> buffer(seal_size);
        found = file.read(buffer, seal_size);
    }
    if (!found.starts_with(lead)) {
        throw ReadError(
            fmt::format("{}: does not end in the digest that plenair writes: it is not from solve "
                        "-o, was cut short, or was changed since; solve the case again",
                        path));
    }
    if (found != fmt::format("{}{}\n", lead, computed)) {
        throw ReadError(fmt::format(
            "{}: is damaged: its content is not that of its digest; solve the case again", path));
    }
} catch (const FileError& error) {
    throw ReadError(fmt::format("{}: cannot read: {}", path, error.what()));
}

}  // namespace plenair
