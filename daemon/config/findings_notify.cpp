// Findings about the program that is told. It is looked at where `check` runs: under systemd the daemon may
// see less of the disk.
#include "stillwell/config/findings.hpp"

#include <sys/stat.h>

namespace stillwell::config {

void find_program_unfit(const Configuration& configuration, Findings& findings) {
  if (!configuration.notify) return;
  const std::string& program = configuration.notify->run.front();
  const Subject run{"notify", "run"};
  struct stat file {};
  if (::stat(program.c_str(), &file) != 0) {
    findings.warn("program-missing", run,
                  "there is no " + program +
                      ", or its folder may not be entered; nobody is told until there is. Arguments are no "
                      "part of the path: write them as a list, [program, argument]");
    return;
  }
  if (!S_ISREG(file.st_mode) || (file.st_mode & (S_IXUSR | S_IXGRP | S_IXOTH)) == 0) {
    findings.warn("program-not-executable", run,
                  program + " is no executable file; nobody is told. chmod 755 makes it one");
    return;
  }
  const bool by_group = (file.st_mode & S_IWGRP) != 0 && file.st_gid != 0;
  if (by_group || (file.st_mode & S_IWOTH) != 0) {
    findings.warn("program-writable", run,
                  program +
                      " may be changed by others than its owner and root, and what they write runs as the "
                      "daemon's user, who may switch the pumps. chmod go-w takes that away (common practice, "
                      "no source)");
  }
}

}  // namespace stillwell::config
