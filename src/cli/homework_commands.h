#pragma once

// Tasks of the command `homework` only.

#include "cli/commands.h"
#include "cli/log_options.h"
#include "homework/package.h"

#include <functional>
#include <memory>
#include <string>

namespace bellhand::cli {

using HomeworkAction = std::function<Result<int>()>;
/// What was typed further sets the action that is run.
using Further = std::shared_ptr<HomeworkAction>;

void add_homework_new(const OptionSet& homework, const Further& further);
void add_homework_next(const OptionSet& homework, const Further& further);
void add_homework_open(const OptionSet& homework, const Further& further);
void add_homework_return(const OptionSet& homework, const Further& further);
void add_homework_show(const OptionSet& homework, const Further& further);
void add_homework_comment(const OptionSet& homework, const Further& further);

/// What is asked, returned and commented, for people.
void print_homework(const homework::Homework& homework);

} // namespace bellhand::cli
