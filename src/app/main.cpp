#include <csignal>
#include <exception>
#include <iostream>
#include <new>
#include <string>
#include <vector>

#include "app/cli.h"
#include "app/plain_text.h"

int main(int argc, char** argv) {
    using seamwright::app::Exit;
    std::ios::sync_with_stdio(false);
    // A file larger than the system allows then shows up as a failed write, with a reason to tell.
    std::signal(SIGXFSZ, SIG_IGN);
    Exit exit = Exit::fault;
    try {
        exit = seamwright::app::run({argv + 1, argv + argc}, std::cin, std::cout, std::cerr);
        if (!std::cout.flush()) {
            std::cerr << "The text could not be written out.\n";
            if (exit == Exit::good) exit = Exit::cannot_write;
        }
    } catch (const std::bad_alloc&) {
        std::cerr << "There is not enough memory for this job.\n";
    } catch (const std::exception& fault) {
        std::cerr << "Seamwright has a fault: " << seamwright::app::printable(fault.what())
                  << "\nThis is not your doing. Please keep the job file and report it.\n";
    }
    return static_cast<int>(exit);
}
