#include "source_folder.h"

// Here alone, so that the same test compiled from another folder is the same object.
std::string source_folder() {
    return SEAMWRIGHT_SOURCE_DIR;
}
