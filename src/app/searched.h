#pragma once

#include "store/store.h"

namespace seamwright::app {

/// What of a job document can be searched: names, notes, customer, pieces and their woods, seams, the finish, and what
/// was noted while it was made. Nothing of a document that cannot be read.
store::Extract searched_words();

}  // namespace seamwright::app
