#include "core/calendar.h"
#include "core/version.h"
#include "horn/crook.h"
#include "report/charts.h"
#include "report/page_style.h"
#include "report/report.h"
#include "report/text.h"
#include "words/verdict.h"

#include <algorithm>
#include <set>

#include <fmt/format.h>

namespace bellhand::report {

namespace {

std::string crook_text(const std::string& id) {
    for (const horn::Crook& crook : horn::all_crooks()) {
        if (id == crook.id) {
            return crook.label;
        }
    }
    return escaped(id);
}

std::string note_text(horn::Note note, horn::Hand hand) {
    return fmt::format("{} <span class=\"hand\" title=\"{}\">{}</span>",
                       horn::display_name(note),
                       horn::hand_label(hand),
                       horn::hand_sign(hand));
}

std::string range_words(const Report& report) {
    if (report.days.first == report.days.last) {
        return calendar::day_name(report.days.first);
    }
    return calendar::day_name(report.days.first) + " to " + calendar::day_name(report.days.last);
}

std::string heading(const Report& report) {
    const progress::Progress& seen = report.progress;
    std::string out = "<header>\n<h1>Practice on the natural horn</h1>\n<p class=\"under\">";
    if (!report.player.empty()) {
        out += escaped(report.player) + ", ";
    }
    out += range_words(report) + "</p>\n<ul class=\"sums\">\n";
    const auto sum = [&](const std::string& figure, const std::string& what) {
        out += "<li><b>" + figure + "</b><span>" + what + "</span></li>\n";
    };
    sum(count_text(seen.time.sessions), seen.time.sessions == 1 ? "session" : "sessions");
    sum(duration_text(seen.time.playing_s), "played");
    sum(duration_text(seen.time.rest_s), "rest taken");
    sum(count_text(seen.figures.notes), seen.figures.notes == 1 ? "note" : "notes");
    if (seen.figures.notes > 0) {
        sum(percent_text(seen.figures.right_share), "in tune");
        sum(signed_text(seen.figures.median_cents), "median, cents");
        sum(fmt::format("{:.1f}", seen.figures.spread_cents), "spread, cents");
    }
    return out + "</ul>\n</header>\n";
}

std::string practised(const Report& report) {
    std::string out = "<section>\n<h2>What was practised</h2>\n";
    if (report.sessions.empty()) {
        return out + "<p>Nothing in this period.</p>\n</section>\n";
    }
    out +=
        "<table>\n<thead><tr><th>Session, exercise</th><th>Crook</th><th class=\"n\">Minutes</th>"
        "<th class=\"n\">Notes or steps</th><th class=\"n\">Without "
        "fault</th></tr></thead>\n<tbody>\n";
    for (const SessionPages& pages : report.sessions) {
        const logbook::SessionRecord& session = pages.session;
        out += fmt::format(
            "<tr class=\"session\"><td>{}, {}</td><td>{}</td><td class=\"n\">{:.1f}</td>"
            "<td class=\"n\">{}</td><td class=\"n\"></td></tr>\n",
            calendar::short_day_name(pages.day),
            escaped(pages.clock),
            crook_text(session.crook),
            session.duration_s / 60.0,
            count_text(session.notes));
        for (const logbook::BlockRecord& block : pages.blocks) {
            const std::string title = block.title.empty()
                                          ? block.exercise.empty() ? "free playing" : block.exercise
                                          : block.title;
            out += fmt::format(
                "<tr class=\"block\"><td>{}{}{}</td><td>{}</td><td class=\"n\">{:.1f}{}</td>"
                "<td class=\"n\">{}</td><td class=\"n\">{}</td></tr>\n",
                escaped(title),
                block.finished ? "" : " <span class=\"soft\">(broken off)</span>",
                block.why.empty() ? "" : "<span class=\"why\">" + escaped(block.why) + "</span>",
                crook_text(block.crook),
                block.duration_s / 60.0,
                block.planned_s > 0.0
                    ? fmt::format(" <span class=\"soft\">of {:.1f}</span>", block.planned_s / 60.0)
                    : "",
                block.steps > 0 ? count_text(block.steps) : "",
                block.steps > 0 ? percent_text(static_cast<double>(block.good_steps) /
                                               static_cast<double>(block.steps))
                                : "");
        }
    }
    out += "</tbody>\n</table>\n";
    if (report.earlier_sessions > 0) {
        out += fmt::format(
            "<p class=\"small-note\">And {} earlier sessions, counted in all figures.</p>\n",
            count_text(report.earlier_sessions));
    }
    return out + "</section>\n";
}

std::string maps(const Report& report) {
    std::string out =
        "<section>\n<h2>Notes, crook by crook</h2>\n"
        "<p class=\"key\">The sign is the hand: o open, ¼, ½, ¾, + full stop. It stands at the "
        "median deviation, up is sharp; the line "
        "through it is the spread (from the 16th to the 84th of a hundred notes). Beneath: written "
        "note, share in tune, how often. "
        "Grey band: 5 cents to each side. Heavy ring: fewer than 60 in a hundred in tune.</p>\n";
    if (report.progress.maps.empty()) {
        return out + "<p>No notes in this period.</p>\n</section>\n";
    }
    int number = 0;
    for (const progress::CrookMap& map : report.progress.maps) {
        out += fmt::format("<h3>Crook {}</h3>\n<p class=\"small-note\">{} notes, {} in tune, "
                           "median {} cents, spread {:.1f}.</p>\n<figure>\n{}</figure>\n",
                           crook_text(map.crook),
                           count_text(map.figures.notes),
                           percent_text(map.figures.right_share),
                           signed_text(map.figures.median_cents),
                           map.figures.spread_cents,
                           note_map_svg(map, fmt::format("map{}", ++number)));
    }
    return out + "</section>\n";
}

std::string trend(const Report& report) {
    const char* each = report.progress.range == progress::Range::day    ? "each session"
                       : report.progress.range == progress::Range::week ? "each day with practice"
                                                                        : "each week with practice";
    std::string out = "<section>\n<h2>Over time</h2>\n";
    if (report.progress.trend.empty()) {
        return out + "<p>No notes in this period.</p>\n</section>\n";
    }
    return out + fmt::format("<p class=\"key\">Median deviation of {}, all crooks together; the "
                             "shaded band is the spread.</p>\n<figure>\n{}</figure>\n</section>\n",
                             each,
                             trend_svg(report.progress.trend, report.progress.range, "trend"));
}

std::string hardest(const Report& report) {
    std::string out = "<section>\n<h2>Hardest transitions</h2>\n";
    if (report.progress.hardest.empty()) {
        return out + "<p>None that was played often enough and went wrong.</p>\n</section>\n";
    }
    out += "<table>\n<thead><tr><th>From</th><th>To</th><th>Crook</th><th "
           "class=\"n\">Times</th><th class=\"n\">Second note in tune</th>"
           "<th class=\"n\">Off by, cents</th></tr></thead>\n<tbody>\n";
    for (const progress::Transition& hard : report.progress.hardest) {
        out += fmt::format("<tr><td>{}</td><td>{}</td><td>{}</td><td class=\"n\">{}</td><td "
                           "class=\"n\">{}</td><td class=\"n\">{:.1f}</td></tr>\n",
                           note_text(hard.from, hard.from_hand),
                           note_text(hard.to, hard.to_hand),
                           crook_text(hard.crook),
                           count_text(hard.times),
                           percent_text(hard.right_share),
                           hard.off_cents);
    }
    return out + "</tbody>\n</table>\n</section>\n";
}

std::string faults(const Report& report) {
    std::string out = "<section>\n<h2>Faults found in exercises</h2>\n";
    if (report.progress.exercises.empty()) {
        return out + "<p>No exercise was judged in this period.</p>\n</section>\n";
    }
    for (const progress::ExerciseFigures& exercise : report.progress.exercises) {
        out += fmt::format("<h3>{}</h3>\n<p class=\"small-note\">{} steps judged, {} "
                           "right{}.</p>\n",
                           escaped(exercise.title.empty() ? exercise.id : exercise.title),
                           count_text(exercise.steps),
                           count_text(exercise.good),
                           exercise.extra > 0 ? fmt::format("; notes that nothing asked for: {}",
                                                            count_text(exercise.extra))
                                              : std::string());
        if (exercise.faults.empty()) {
            continue;
        }
        out += "<table>\n<thead><tr><th>Asked</th><th>Fault</th><th class=\"n\">Times</th><th "
               "class=\"n\">of</th></tr></thead>\n<tbody>\n";
        for (const progress::FaultFigures& fault : exercise.faults) {
            out += fmt::format(
                "<tr><td>{}</td><td>{}</td><td class=\"n\">{}</td><td class=\"n\">{}</td></tr>\n",
                note_text(fault.asked, fault.hand),
                words::fault_kind(fault.fault),
                count_text(fault.times),
                count_text(fault.of));
        }
        out += "</tbody>\n</table>\n";
    }
    return out + "</section>\n";
}

std::string minutes(const Report& report) {
    const progress::PracticeTime& time = report.progress.time;
    std::string out = "<section>\n<h2>Playing and resting</h2>\n";
    out += fmt::format("<p>Played {}, rested {} between the notes of sessions (pauses of five "
                       "seconds and more). Advised rest, as long as was played: {}.</p>\n",
                       duration_text(time.playing_s),
                       duration_text(time.rest_s),
                       duration_text(time.rest_advised_s));
    if (const auto& changes = report.progress.crook_changes; changes.changes > 0) {
        out += fmt::format("<p>Crook changes drilled: {} of {} right{}.</p>\n",
                           changes.right,
                           changes.changes,
                           changes.right > 0
                               ? fmt::format(", half of these within {:.1f} s", changes.median_s)
                               : "");
    }
    if (!time.days.empty()) {
        out += "<p class=\"key\"><i class=\"kp\"></i>played <i class=\"kr\"></i>rest taken <i "
               "class=\"ka\"></i>rest advised</p>\n<figure>\n" +
               minutes_svg(time, report.days, "minutes") + "</figure>\n";
    }
    out += "<div class=\"care\">\n";
    for (const std::string& caution : report.cautions) {
        out += "<p>" + escaped(caution) + "</p>\n";
    }
    return out + "</div>\n</section>\n";
}

std::string comment_text(const logbook::CommentRecord& comment, const std::string& place) {
    return fmt::format("<blockquote><p>{}</p><footer>{}{}, {}</footer></blockquote>\n",
                       escaped(comment.text),
                       comment.who == logbook::Who::teacher ? "Teacher" : "Player",
                       place,
                       calendar::day_name(calendar::local_time(comment.written_at).day));
}

std::string takes(const Report& report) {
    std::string out = "<section>\n<h2>Takes and comments</h2>\n";
    bool any = false;
    for (const SessionPages& pages : report.sessions) {
        if (pages.takes.empty() && pages.comments.empty()) {
            continue;
        }
        any = true;
        out += fmt::format(
            "<h3>{}, {}</h3>\n", calendar::short_day_name(pages.day), escaped(pages.clock));
        for (const logbook::TakeRecord& take : pages.takes) {
            out += fmt::format(
                "<p><b>{}</b> <span class=\"soft\">{}, from {} of the session{}{}</span></p>\n",
                escaped(take.file),
                duration_text(take.duration_s),
                clock_text(take.start_s),
                take.why.empty() ? "" : ", ",
                escaped(take.why));
            for (const logbook::CommentRecord& comment : pages.comments) {
                if (comment.take == take.id) {
                    out += comment_text(comment, " at " + clock_text(comment.at_s));
                }
            }
        }
        for (const logbook::CommentRecord& comment : pages.comments) {
            if (!comment.take) {
                out += comment_text(comment,
                                    comment.note ? fmt::format(" on note {}", *comment.note)
                                                 : std::string());
            }
        }
    }
    return out + (any ? "" : "<p>None in this period.</p>\n") + "</section>\n";
}

std::string foot(const Report& report) {
    std::set<std::string> pitches;
    for (const SessionPages& pages : report.sessions) {
        const logbook::SessionRecord& session = pages.session;
        const bool stands_on = session.temperament != "equal" && !session.footing.root.empty();
        pitches.insert(fmt::format("A4 = {:g} Hz, {}{}",
                                   session.a4_hz,
                                   session.temperament,
                                   stands_on ? " on " + session.footing.root : ""));
    }
    std::string played_at;
    for (const std::string& pitch : pitches) {
        played_at += (played_at.empty() ? "" : "; ") + pitch;
    }
    return fmt::format("<p class=\"foot\">Deviations are of the held part of each note, attack "
                       "left out, from the temperament of the session{}. "
                       "In tune: within the tolerance of the hand position (open 5, quarter to "
                       "three-quarters 10, full stop 15 cents; common practice). "
                       "Medians are right to a cent. Made by Bellhand {} on {}.</p>\n",
                       played_at.empty() ? "" : " (" + escaped(played_at) + ")",
                       version(),
                       report.made_on);
}

} // namespace

std::string html_page(const Report& report) {
    return "<!DOCTYPE html>\n<html lang=\"en\" "
           "xmlns=\"http://www.w3.org/1999/xhtml\">\n<head>\n<meta charset=\"utf-8\"/>\n"
           "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src "
           "'unsafe-inline'\"/>\n"
           "<meta name=\"viewport\" content=\"width=device-width, "
           "initial-scale=1\"/>\n<title>Practice on the natural horn, " +
           range_words(report) + "</title>\n<style>" + kPageStyle +
           "</style>\n</head>\n<body>\n<main>\n" + heading(report) + practised(report) +
           maps(report) + trend(report) + hardest(report) + faults(report) + minutes(report) +
           takes(report) + foot(report) + "</main>\n</body>\n</html>\n";
}

} // namespace bellhand::report
