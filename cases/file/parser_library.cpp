// The parser itself, once.
#define TOML_IMPLEMENTATION
#include "cases/file/toml.hpp"
