#pragma once

namespace plenair {

/// Whether HDF5 is reading or writing a file. It (1.10.8) does not survive a lack of memory: it
/// ends the program by a fault, or leaves it, and whoever cares how the program ends asks this
/// then. May be called by a signal handler.
[[nodiscard]] bool hdf5_at_work() noexcept;

}  // namespace plenair
