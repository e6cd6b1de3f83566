#pragma once

#include "cases/file/toml_names.hpp"

#include <toml++/toml.h>
