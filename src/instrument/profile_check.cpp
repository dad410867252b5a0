#include "instrument/profile_file.h"

#include <map>
#include <set>

namespace bellhand::instrument {

namespace {

enum class Role { crook, other };

using Roles = std::map<std::string, Role, std::less<>>;

Roles collect_names(const Profile& profile, FileProblem& problem) {
    Roles roles;
    const auto take = [&](const std::vector<Piece>& pieces, Role role) {
        for (const Piece& piece : pieces) {
            if (!roles.emplace(piece.name, role).second) {
                problem.refuse("",
                               "two pieces are called \"" + piece.name +
                                   "\"; give each its own name, such as \"" + piece.name + " 2\"");
            }
        }
    };
    take(profile.crooks, Role::crook);
    take(profile.couplers, Role::other);
    take(profile.bits, Role::other);
    return roles;
}

/// How many crooks are named; refuses names that do not exist or come twice.
int count_crooks(const std::vector<std::string>& names,
                 const Roles& roles,
                 const std::string& place,
                 FileProblem& problem) {
    std::set<std::string> seen;
    int crooks = 0;
    for (const std::string& name : names) {
        const auto found = roles.find(name);
        if (found == roles.end()) {
            problem.refuse(place,
                           "names \"" + name.substr(0, 60) +
                               "\", which is no piece of this profile; check the spelling");
            return 0;
        }
        if (!seen.insert(name).second) {
            problem.refuse(place, "names \"" + name + "\" twice; it can be mounted only once");
        }
        crooks += found->second == Role::crook ? 1 : 0;
    }
    return crooks;
}

void check_pitches(const std::vector<PitchMeasurement>& pitches,
                   const std::string& owner,
                   bool owner_is_crook,
                   bool crook_needed,
                   const Profile& profile,
                   const Roles& roles,
                   FileProblem& problem) {
    for (const PitchMeasurement& pitch : pitches) {
        const std::string place = "a pitch measured on \"" + owner + "\"";
        const int crooks =
            count_crooks(pitch.with, roles, place, problem) + (owner_is_crook ? 1 : 0);
        if (crooks > 1) {
            problem.refuse(place, "was played with two crooks; only one fits at a time");
        }
        if (crooks == 0 && crook_needed) {
            problem.refuse(place, "names no crook in \"with\"; say which crook carried it");
        }
        for (const std::string& name : pitch.with) {
            if (name == owner) {
                problem.refuse(place, "names the piece itself in \"with\"; name only the others");
            }
        }
        if (pitch.slide_pull_m > profile.slide.longest_pull_m) {
            problem.refuse(place,
                           "has the slide at " + plain_number(pitch.slide_pull_m) +
                               " m, further than longest_pull_m (" +
                               plain_number(profile.slide.longest_pull_m) +
                               "); correct one of them");
        }
    }
}

} // namespace

void check_profile(const Profile& profile, FileProblem& problem) {
    const Roles roles = collect_names(profile, problem);
    if (problem.found()) {
        return;
    }
    if (profile.crooks.empty() && !profile.body.plays_without_crook) {
        problem.refuse("",
                       "there is no crook: list terminal_crooks or master_crooks, or say that "
                       "the body plays_without_crook");
    }
    if (profile.slide.usual_pull_m > profile.slide.longest_pull_m) {
        problem.refuse("tuning_slide, usual_pull_m",
                       "is more than longest_pull_m; the slide cannot stand there");
    }
    const bool bare = profile.body.plays_without_crook;
    check_pitches(profile.body.pitches, "body", false, !bare, profile, roles, problem);
    for (const Piece& piece : profile.crooks) {
        check_pitches(piece.pitches, piece.name, true, false, profile, roles, problem);
    }
    for (const auto* pieces : {&profile.couplers, &profile.bits}) {
        for (const Piece& piece : *pieces) {
            check_pitches(piece.pitches, piece.name, false, !bare, profile, roles, problem);
        }
    }
    if (profile.calibration) {
        for (const AssemblyCalibration& assembly : profile.calibration->assemblies) {
            if (count_crooks(assembly.pieces, roles, "calibration, assemblies, pieces", problem) >
                1) {
                problem.refuse("calibration, assemblies, pieces", "name two crooks; only one fits");
            }
        }
    }
}

} // namespace bellhand::instrument
