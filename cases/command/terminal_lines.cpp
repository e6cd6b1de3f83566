#include "cases/command/terminal_lines.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <poll.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cmath>
#include <cstdlib>
#include <cstring>
#include <utility>

#include "cases/report/terminal/paint.hpp"
#include "cases/study/cost.hpp"
#include "cases/study/error.hpp"
#include "cases/study/visible_text.hpp"

namespace plenair::command {

namespace {

/// Unbuffered, so that nothing is left to be lost at the end. @returns 0 or the error number
int write_stream(int stream, std::string_view text) {
    while (!text.empty()) {
        const auto written = ::write(stream, text.data(), text.size());
        if (written >= 0) {
            text.remove_prefix(static_cast<std::size_t>(written));
        } else if (errno == EAGAIN || errno == EWOULDBLOCK) {
            pollfd ready{stream, POLLOUT, 0};
            (void)::poll(&ready, 1, -1);
        } else if (errno != EINTR) {
            return errno;
        }
    }
    return 0;
}

/// With the sequences of Paint as they are, everything else visible.
std::string visible_but_colours(std::string_view text) {
    std::string shown;
    while (!text.empty()) {
        const auto escape = std::min(text.find('\033'), text.size());
        shown += visible_text(text.substr(0, escape), LineEnds::kept);
        text.remove_prefix(escape);
        const auto* sequence = std::find_if(
            Paint::sequences.begin(), Paint::sequences.end(), [text](std::string_view known) {
                return text.starts_with(known);
            });
        const bool known = sequence != Paint::sequences.end();
        const std::size_t length = known ? sequence->size() : std::min<std::size_t>(1, text.size());
        const auto head = text.substr(0, length);
        shown += known ? std::string(head) : visible_text(head, LineEnds::kept);
        text.remove_prefix(length);
    }
    return shown;
}

}  // namespace

void hold_standard_streams() {
    for (const int stream : {STDIN_FILENO, STDOUT_FILENO, STDERR_FILENO}) {
        if (::fcntl(stream, F_GETFD) < 0 && errno == EBADF) {
            // The lowest free number is the one wanted. Output cannot be written here: print must
            // say that it was lost.
            (void)::open("/dev/null", stream == STDERR_FILENO ? O_WRONLY : O_RDONLY);
        }
    }
}

bool colour_wanted() {
    const char* no_colour = std::getenv("NO_COLOR");
    const bool refused = no_colour != nullptr && *no_colour != '\0';
    return !refused && ::isatty(STDOUT_FILENO) == 1;
}

void print(std::string_view text) {
    const int failed = write_stream(
        STDOUT_FILENO,
        colour_wanted() ? visible_but_colours(text) : visible_text(text, LineEnds::kept));
    if (failed != 0) {
        throw WriteError(fmt::format("cannot write standard output: {}", std::strerror(failed)));
    }
}

void say(std::string_view text) {
    (void)write_stream(
        STDERR_FILENO,
        fmt::format("{}{}", visible_text(text, LineEnds::kept), text.ends_with('\n') ? "" : "\n"));
}

std::optional<std::string> ask(std::string_view question) {
    (void)write_stream(STDERR_FILENO, visible_text(question, LineEnds::kept));
    // Byte by byte: what follows the line belongs to whoever reads next.
    std::string line;
    constexpr std::size_t longest = 1000;
    while (line.size() < longest) {
        char c = '\0';
        const auto got = ::read(STDIN_FILENO, &c, 1);
        if (got < 0 && errno == EINTR) {
            continue;
        }
        if (got <= 0) {
            return line.empty() ? std::nullopt : std::optional(line);
        }
        if (c == '\n') {
            return line;
        }
        line += c;
    }
    return line;
}

bool is_asking_possible() {
    return ::isatty(STDIN_FILENO) == 1 && ::isatty(STDERR_FILENO) == 1;
}

void print_warnings(const std::vector<std::string>& warnings) {
    for (const auto& warning : warnings) {
        say("warning: " + warning);
    }
}

void announce(const ExpectedWork& work) {
    if (const std::string text = work_text(work); !text.empty()) {
        say(text);
    }
}

ProgressLine::ProgressLine(bool wanted, std::string what)
    : start_(std::chrono::steady_clock::now()),
      what_(std::move(what)),
      shown_(wanted && ::isatty(STDERR_FILENO) == 1) {}

void ProgressLine::operator()(double done, double total) {
    if (!shown_) {
        return;
    }
    const std::lock_guard lock(mutex_);
    done_ = done;
    total_ = total;
    show();
}

void ProgressLine::under_way(const std::string& point, int cycles) {
    if (!shown_) {
        return;
    }
    const std::lock_guard lock(mutex_);
    under_way_ = fmt::format("{}, cycle {}", visible_text(point, LineEnds::written_out), cycles);
    show();
}

/// @pre the lock is held
void ProgressLine::show() {
    const auto now = std::chrono::steady_clock::now();
    constexpr std::chrono::milliseconds pause(100);  // faster than one can read
    if (now - last_ < pause && (done_ < total_ || total_ == 0)) {
        return;
    }
    last_ = now;
    const std::chrono::duration<double> elapsed = now - start_;
    std::string line = "\r\033[K";
    if (total_ > 0) {
        line += fmt::format("{:.0f} of {:.0f} {}", std::floor(done_), total_, what_);
    }
    if (done_ > 0 && elapsed.count() > 0) {
        const double rate = done_ / elapsed.count();
        line += fmt::format(", {} {}/s, {:.0f} s left",
                            rate < 100 ? fmt::format("{:.2g}", rate) : fmt::format("{:.0f}", rate),
                            what_,
                            (total_ - done_) / rate);
    }
    if (!under_way_.empty() && (done_ < total_ || total_ == 0)) {
        line +=
            fmt::format("{}{} after {:.0f} s", total_ > 0 ? "; " : "", under_way_, elapsed.count());
    }
    (void)write_stream(STDERR_FILENO, line);
}

void ProgressLine::clear() {
    if (shown_) {
        const std::lock_guard lock(mutex_);
        (void)write_stream(STDERR_FILENO, "\r\033[K");
    }
}

}  // namespace plenair::command
