#pragma once

#include <string>

/// The folder the project's sources lie in, for tests that read examples, tables and scripts.
std::string source_folder();
