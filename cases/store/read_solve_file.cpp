#include "cases/store/read_solve_file.hpp"

#include "cases/store/grid_reader.hpp"
#include "cases/store/store.hpp"

namespace plenair {

StoredSolve read_solve_file(const std::string& path) {
    if (path.ends_with(".json")) {
        return read_solve_json(path);
    }
    StoredSolve stored;
    stored.result = read_results(path);
    stored.version = GridReader(path).text_attribute("version");
    return stored;
}

}  // namespace plenair
