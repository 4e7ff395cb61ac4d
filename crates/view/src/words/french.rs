//! The words in French, with the space that does not break before : ; ! and ?.
//!
//! These texts were written for this project and wait for a native reader. Terms
//! of string playing: common practice, no source; from memory.

use super::Word;

/// Gives the French text of a word.
#[must_use]
pub(super) const fn text(word: Word) -> &'static str {
    match word {
        Word::WalkThrough => "Parcourir",
        Word::Play => "Jouer",
        Word::Count => "Compter",
        Word::ToDo => "À faire",
        Word::Rooms => "Façons de travailler",
        Word::Start => "Début",
        Word::Measure => "mesure {0}",
        Word::Measures => "mesures {0}–{1}",
        Word::Beat => "temps {0}",
        Word::Beats => "temps {0}–{1}",
        Word::AfterBeat => "juste après le temps {0}",
        Word::PlaceAndBeat => "{0}, {1}",
        // What is put in is a measure or the end, both feminine: "de la mesure 3 à la fin".
        Word::FromTo => "de la {0} à la {1}",
        Word::Whole => "ronde",
        Word::Half => "blanche",
        Word::Quarter => "noire",
        Word::Eighth => "croche",
        Word::Sixteenth => "double croche",
        Word::ThirtySecond => "triple croche",
        Word::Dotted => "{0} pointée",
        Word::DoubleDotted => "{0} doublement pointée",
        Word::TempoIs => "{0} = {1}",
        Word::Gradually => "peu à peu vers {0}",
        Word::NoSharps => "ni dièse ni bémol",
        Word::OneSharp => "1 dièse",
        Word::Sharps => "{0} dièses",
        Word::OneFlat => "1 bémol",
        Word::Flats => "{0} bémols",
        Word::FreeMeter => "libre, non mesuré",
        Word::MeterIn => "{0}, {1}",
        Word::MeterCounted => "{0}, on compte {1}",
        Word::MeasureIs => "{0}\u{202f}: {1}",
        Word::AndAlso => "{0}\u{202f}; {1}",
        Word::Decimal => "{0},{1}",
        Word::Thousands => "{0}\u{202f}{1}",
        Word::Strong => "fort",
        Word::Medium => "moyen",
        Word::Next => "ensuite\u{202f}: {0}",
        Word::GoOnAt => "aller à la {0}",
        Word::Pizz => "pizz.",
        Word::Arco => "arco",
        Word::MuteOn => "avec sourdine",
        Word::MuteOff => "sans sourdine",
        Word::PlayFrom => "Jouer depuis une mesure avant la {0}",
        Word::PlayPiece => "Jouer depuis le début",
        Word::PlayAt => "Jouer depuis la {0}",
        Word::Stop => "Arrêter",
        Word::Slower => "Plus lent de 5 pour cent",
        Word::Faster => "Plus rapide de 5 pour cent",
        Word::TempoPercent => "Tempo en pourcentage",
        Word::From => "De",
        Word::To => "À",
        Word::TheEnd => "fin",
        Word::Loop => "Boucle",
        Word::CountInWord => "décompte",
        Word::Keys => "Touches et pédales",
        Word::KeysPlay => {
            "Espace ou Entrée sur le grand bouton\u{202f}: jouer et arrêter. Flèches gauche et droite, Page précédente et Page suivante\u{202f}: commencer une mesure plus tôt ou plus tard. Lettres, si tu ne les as pas désactivées dans les réglages\u{202f}: + et - tempo, L boucle, W c’était bien, O encore une fois, C réglages."
        }
        Word::KeysCount => {
            "Espace, flèche droite ou Page suivante\u{202f}: temps suivant. Flèche gauche ou Page précédente\u{202f}: retour. Glisser le doigt vers la droite revient aussi en arrière."
        }
        Word::StepByTap => "Pas à pas",
        Word::TapAlong => "Taper les temps",
        Word::HowToCount => "Comment compter",
        Word::MeasuresLong => "Mesures",
        Word::TapNow => "Tape chaque temps",
        Word::HowToTap => {
            "Après le décompte, tape chaque temps avec un doigt, une pédale ou la barre d’espace."
        }
        Word::Steady => "Régulier. Essaie plus vite, ou sans le clic.",
        Word::Settling => "Cela se stabilise. Encore une fois à ce tempo.",
        Word::TrySlower => "Essaie plus lentement.",
        Word::TooFewTaps => {
            "Trop peu de frappes pour juger\u{202f}: tape une fois sur chaque temps."
        }
        Word::TapsWere => {
            "{0} en avance, {1} en place, {2} en retard, autour de ton propre milieu."
        }
        Word::TapsMissed => "{0} sans frappe.",
        Word::Early => "en avance",
        Word::On => "en place",
        Word::Late => "en retard",
        Word::Calibrate => "Mesurer le retard de cet appareil",
        Word::CalibrateHow => "Douze clics. Tape avec chacun.",
        Word::DelayIs => "Le temps s’affiche maintenant {0} millisecondes plus tard.",
        Word::SpeakCounts => "Dire les temps",
        Word::GoToMeasure => "Aller à la mesure",
        Word::NoSuchMeasure => "Il n’y a pas de mesure {0}.",
        Word::YourPractice => "Ton travail",
        Word::Minutes => "{0} min",
        Word::NothingYet => "Encore rien.",
        Word::OnlyHere => "Cela reste sur cet appareil. Rien n’est envoyé.",
        Word::LineForTeacher => "Une ligne pour ton prof",
        Word::TasksDone => "{0} tâches faites sur {1}",
        Word::Copy => "Copier",
        Word::Copied => "Copié.",
        Word::Erase => "Effacer ce que garde cet appareil",
        Word::Erased => "Effacé.",
        Word::TapHere => "Touche\u{202f}: temps suivant",
        Word::Back => "Retour",
        Word::ChooseMeasure => "Mesure",
        Word::UnevenFirst => "Mesures irrégulières",
        Word::AllMeasures => "Toutes les mesures",
        Word::Finished => "Fin.",
        Word::Playing => "Départ à la {0}.",
        Word::SectionNow => "Section {0}.",
        Word::Silent => {
            "Cet appareil ne donne pas de son en ce moment. Le compte continue sans lui."
        }
        Word::NotKept => "Ce navigateur ne laisse pas la page garder tes coches.",
        Word::SoundAgain => "Remettre le son",
        Word::RestNow => "pause {0} sur {1}",
        Word::ComeIn => "{0}, tu entres\u{202f}: {1}",
        Word::Choices => "Réglages",
        Word::SpotByTaps => "Répéter un passage\u{202f}: touche sa première et sa dernière mesure",
        Word::NowTheLast => "Depuis la {0}. Touche maintenant la dernière mesure.",
        Word::LoopIs => "Boucle\u{202f}: {0}.",
        Word::SpotOfTip => "Ou le passage d’un conseil",
        Word::Click => "Clic",
        Word::ClickOn => "Le clic sonne sur",
        Word::EveryCount => "chaque temps",
        Word::GroupsOnly => "les groupes seulement",
        Word::DownbeatsOnly => "le premier temps seulement",
        Word::OffBeats => "les contretemps",
        Word::Nowhere => "rien",
        Word::BetweenCounts => "Entre les temps",
        Word::Nothing => "rien",
        Word::WhereItHelps => "si assez lent",
        Word::Always => "toujours",
        Word::SilentMeasures => "Mesures muettes",
        Word::OneIn => "1 sur {0}",
        Word::ClickSound => "Son",
        Word::Clear => "clair",
        Word::Wooden => "boisé",
        Word::Dry => "sec",
        Word::Accents => "Accents",
        Word::Volume => "Volume",
        Word::CareEars => "Garde le casque à faible volume.",
        Word::CountInMeasures => "Mesures",
        Word::EachTime => "À chaque tour",
        Word::Ladder => "Échelle",
        Word::LadderOn => "Du lent au plein tempo par échelons",
        Word::RungFrom => "De (pour cent)",
        Word::RungTo => "À (pour cent)",
        Word::Rungs => "Échelons",
        Word::Traditional => "pas traditionnels",
        Word::UpAfter => "Passages propres pour monter",
        Word::TipsAtRung => "Les conseils se jouent au tempo de l’échelle",
        Word::PaceOfSections => "Tempo de chaque section",
        Word::WentWell => "C’était bien",
        Word::OnceMore => "Encore une fois",
        Word::Percent => "{0} pour cent",
        Word::RungIs => "Échelon {0} sur {1}\u{202f}: {2}",
        Word::CleanTimes => "{0}\u{202f}; propres\u{202f}: {1} sur {2}",
        Word::TopRung => "{0}. Le but est atteint",
        Word::Device => "Cet appareil",
        Word::ShowLater => "Afficher le temps plus tard (millisecondes)",
        Word::Buzz => "Vibrer sur le premier temps",
        Word::Letters => "Touches de lettres",
        Word::LanguageTag => "fr",
        Word::HowToOpen => {
            "Pas de boutons ici\u{202f}? Alors ce n’est qu’un aperçu. Enregistre le fichier et ouvre-le dans un navigateur pour entendre les clics et compter avec eux. Tout peut aussi se lire et s’imprimer tel quel."
        }
        Word::OpenByLink => "Ou ouvre ce guide par son lien.",
        Word::OpenBareByLink => "Ou ouvre ce guide par son lien, sans photos ni notes vocales.",
        Word::TeacherSays => "De ton prof",
        Word::WholePiece => "Tout le morceau",
        Word::AtAGlance => "En un coup d’œil",
        Word::UnevenCounts => "Compter les mesures irrégulières",
        Word::UnevenHelp => {
            "Dans les dessins ci-dessus, un trait surmonte un groupe de deux, un triangle un groupe de trois."
        }
        Word::OrderOfPlay => "Ordre de jeu",
        Word::Care => "Prends soin de toi",
        Word::CareBreaks => "Fais des pauses régulières.",
        Word::CareHurt => {
            "Si quelque chose fait mal, arrête et demande à ton prof ou à un professionnel de santé."
        }
        Word::NoTodos => "Ton prof n’a pas donné de tâches dans ce guide.",
        Word::NoMeasures => "Ce guide n’a pas encore de mesures.",
        Word::MeasuresShort => "{0}–{1}",
        Word::Dynamics => "Nuances",
        Word::Several => "mesures {0}",
        Word::Then => "{0}, puis {1}",
        Word::GraduallyUntil => "peu à peu vers {0}, jusqu’à la {1}",
        Word::Until => "jusqu’à la {0}",
        Word::BackToBefore => "retour au tempo d’avant",
        Word::BackToFirst => "retour au premier tempo",
        Word::StartHere => "Commence ici",
        Word::WhenTime => "S’il reste du temps",
        Word::RestFor => "{0} mesures de pause",
        Word::RestForOne => "1 mesure de pause",
        Word::Mark => "repère {0}",
        Word::Pickup => "levée\u{202f}: la musique commence au {0}",
        Word::PickupAfter => "levée\u{202f}: la musique commence {0}",
        Word::RepeatFrom => "une reprise commence ici",
        Word::RepeatBack => "à la fin, revenir à la {0} et rejouer",
        Word::RepeatTimes => "à la fin, revenir à la {0}, {1} fois en tout",
        Word::Ending => "fin de reprise {0}",
        Word::Segno => "segno",
        Word::Coda => "la coda commence ici",
        Word::ToCoda => "après le saut, aller de la fin de cette mesure à la coda",
        Word::Fine => "Fine\u{202f}: après le saut, la musique finit ici",
        Word::DaCapo => "D.C.\u{202f}: à la fin, revenir au début",
        Word::DalSegno => "D.S.\u{202f}: à la fin, revenir au segno",
        Word::JumpToFine => "{0} et jouer jusqu’au Fine",
        Word::JumpToCoda => "{0} et jouer jusqu’au renvoi à la coda",
        Word::Hold => "point d’orgue\u{202f}: {0}",
        Word::Cut => "ne se joue pas",
        Word::Bow => "archet",
        Word::LeftHand => "main gauche",
        Word::Pluck => "pincer",
        Word::Sound => "son",
        Word::CountTopic => "compter",
        Word::Listen => "écouter",
        Word::GetReady => "se préparer",
        Word::Note => "remarque",
        Word::DownBow => "tiré",
        Word::UpBow => "poussé",
        Word::FromFrog => "au talon",
        Word::FromLowerHalf => "dans la moitié inférieure",
        Word::FromMiddle => "au milieu",
        Word::FromUpperHalf => "dans la moitié supérieure",
        Word::FromTip => "à la pointe",
        Word::LittleBow => "peu d’archet",
        Word::QuarterBow => "un quart de l’archet",
        Word::HalfBow => "la moitié de l’archet",
        Word::WholeBow => "tout l’archet",
        Word::StrokeIs => "{0} {1}, {2}",
        Word::RestOf => "silence de {0}",
        Word::Tied => "liée",
        Word::WatchAt => "À voir à {0}",
        Word::Photo => "photo",
        Word::VoiceNote => "Note vocale, {0} s",
        Word::Trouble => {
            "Un problème est survenu dans cette page. Tout ce qui suit peut encore se lire\u{202f}; rouvre le fichier pour jouer."
        }
        Word::Overview => "Vue d’ensemble",
        Word::RoadMap => "Parcours",
        Word::Tips => "Conseils",
        Word::Where => "Où",
        Word::ForPart => "Pour",
        Word::AllParts => "toutes les parties",
        Word::Guides => "Guides de travail",
        Word::UnpackFirst => {
            "Si rien ne s’ouvre, décompresse d’abord le fichier zip, puis ouvre cette page depuis le dossier."
        }
        Word::CodeTooLong => {
            "{0}\u{202f}: le guide est trop long pour un code sur papier. Ce code ouvre la page {1}\u{202f}; le guide vient du lien ou du fichier."
        }
        Word::NoCode => {
            "Il n’y a pas de code ici\u{202f}: le guide ne donne pas d’adresse sur le web où il s’ouvre."
        }
    }
}
