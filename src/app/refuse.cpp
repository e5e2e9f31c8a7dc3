#include "refuse.h"

#include <ostream>

#include "app/plain_text.h"

namespace seamwright::app {

Exit refuse(const FileRefusal& why, Exit exit, std::ostream& err) {
    err << wrapped("", printable(why.reason)) << wrapped("", printable(why.remedy));
    return exit;
}

}  // namespace seamwright::app
