#pragma once

#include "horn/crook.h"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace bellhand::part {

enum class Octave { unsaid, alto, basso };

/// A key as the heading of a part names it, in German, Italian, French, English or by the old solmisation.
struct KeyName {
    int step = 0; ///< semitones above C, 0 to 11
    Octave octave = Octave::unsaid;
    bool b_unsure =
        false; ///< a bare "B" without a word that tells the language: B flat or B natural
    bool dis_unsure = false; ///< "Dis" of old German sources: E flat, seldom D sharp
};

/// The crooks that a key name can mean, the higher first; one when nothing is left open.
[[nodiscard]] std::vector<horn::Crook> crooks_named(const KeyName& key);

/// What the name of a part says.
struct Heading {
    bool horn = false;
    bool other = false; ///< an instrument that has "horn" in its name and is none
    std::optional<KeyName> key;
};

/// Reads "Corni in Es", "Cor en mi bémol", "B♭ (alto) Horn 1", "Hörner in tiefem B". Language: common practice, no
/// source; the old solmisation and "Dis": from memory. English horn, basset horn, cornet and the like are no horns.
[[nodiscard]] Heading read_heading(std::string_view text);

/// What words in the music say about the crook.
struct CrookWords {
    enum class Kind {
        none,
        in_key, ///< "in D": from the first note after it
        change, ///< "muta in D": from the next entry after a rest
        remark, ///< "[orig. in A]": an editor's, told and not obeyed
    };
    Kind kind = Kind::none;
    KeyName key;
};

/// Reads "muta in D", "in E♭", "changez en ré", "[orig. in A]"; anything else is `none`.
[[nodiscard]] CrookWords read_crook_words(std::string_view text);

} // namespace bellhand::part
