//! What else leaves a guide: captions and chapters, times, MIDI, a click track, and all
//! parts at once.

use crate::{Failure, checked, input, of_part, output, player, report};
use clap::{Args, ValueEnum};
use cueleaf_export::{
    MAX_OFFSET_HOURS, Offset, SampleRate, class_files, click_track, midi_file, zip,
};
use cueleaf_guide::{Checked, Guide};
use cueleaf_plan::ClickSound;
use std::path::{Path, PathBuf};

/// A guide beside a recording.
#[derive(Args)]
pub(crate) struct Recording {
    /// The guide.
    guide: PathBuf,
    /// The part to write for, by name; the whole guide without it.
    #[arg(long, value_name = "NAME")]
    part: Option<String>,
    /// How many seconds after the start of the recording the music starts; below zero when
    /// the recording starts later than the music.
    #[arg(
        long,
        value_name = "SECONDS",
        default_value_t = 0.0,
        allow_negative_numbers = true
    )]
    offset: f64,
    /// Where to write.
    #[arg(short, long, value_name = "FILE")]
    output: PathBuf,
}

/// A guide as music.
#[derive(Args)]
pub(crate) struct Music {
    /// The guide.
    guide: PathBuf,
    /// The part to write for, by name; the whole guide without it.
    #[arg(long, value_name = "NAME")]
    part: Option<String>,
    /// Where to write.
    #[arg(short, long, value_name = "FILE")]
    output: PathBuf,
}

/// A guide as clicks.
#[derive(Args)]
pub(crate) struct Clicks {
    #[command(flatten)]
    music: Music,
    /// The samples a second: 44100 or 48000.
    #[arg(long, value_name = "N", default_value_t = 48_000)]
    rate: u32,
    /// What the clicks are made of.
    #[arg(long, value_enum, default_value_t = Sound::Clear)]
    sound: Sound,
}

/// What clicks are made of, as the guide itself offers it.
#[derive(Clone, Copy, ValueEnum)]
enum Sound {
    /// One clear tone.
    Clear,
    /// Like a bar of wood.
    Wooden,
    /// A short rustle without a pitch.
    Dry,
}

/// Writes a text that goes with a recording.
pub(crate) fn beside(
    recording: &Recording,
    write: fn(&Guide, Offset) -> Checked<String>,
) -> Result<(), Failure> {
    let offset = Offset::new(recording.offset).ok_or_else(|| {
        Failure::Use(format!(
            "an offset is a number of seconds up to {MAX_OFFSET_HOURS} hours either way"
        ))
    })?;
    let guide = of_part(&input::guide(&recording.guide)?, recording.part.as_deref())?;
    let text = write(&guide, offset);
    report(&text.findings)?;
    output::write(&recording.output, text.value.as_bytes())
}

/// Writes a guide as a MIDI file.
pub(crate) fn midi(music: &Music) -> Result<(), Failure> {
    let guide = of_part(&input::guide(&music.guide)?, music.part.as_deref())?;
    let file = midi_file(&guide).map_err(|error| Failure::Found(error.to_string()))?;
    report(&file.findings)?;
    output::write(&music.output, &file.value)
}

/// Writes the clicks of a guide as a sound file.
pub(crate) fn click(clicks: &Clicks) -> Result<(), Failure> {
    let rate = SampleRate::of_hertz(clicks.rate)
        .ok_or_else(|| Failure::Use("the rate is 44100 or 48000 samples a second".to_owned()))?;
    let sound = match clicks.sound {
        Sound::Clear => ClickSound::Clear,
        Sound::Wooden => ClickSound::Wooden,
        Sound::Dry => ClickSound::Dry,
    };
    let music = &clicks.music;
    let guide = of_part(&input::guide(&music.guide)?, music.part.as_deref())?;
    let track =
        click_track(&guide, sound, rate).map_err(|error| Failure::Found(error.to_string()))?;
    report(&track.findings)?;
    output::write_pieces(&music.output, track.value.pieces())
}

/// Writes all parts of the guides in a folder, or of one guide, into a zip or a folder.
pub(crate) fn export_all(from: &Path, to: &Path) -> Result<(), Failure> {
    let player = player()?;
    let same = |one: &Path, other: &Path| {
        let whole = std::fs::canonicalize(one).and_then(|one| Ok((one, other.canonicalize()?)));
        whole.is_ok_and(|(one, other)| one == other)
    };
    if same(from, to) {
        let message = "write to another place than the guides come from";
        return Err(Failure::Use(message.to_owned()));
    }
    let mut guides = Vec::new();
    for (path, guide) in input::guides(from)? {
        let found = checked(&guide);
        if !found.is_empty() {
            eprintln!("{}:", path.display());
        }
        report(&found)?;
        guides.push(guide);
    }
    let files = class_files(&guides, &player).map_err(|error| Failure::Found(error.to_string()))?;
    if to
        .extension()
        .is_some_and(|ending| ending.eq_ignore_ascii_case("zip"))
    {
        let bytes = zip(&files).map_err(|error| Failure::Found(error.to_string()))?;
        return output::write(to, &bytes);
    }
    std::fs::create_dir_all(to)
        .map_err(|error| Failure::Use(format!("{}: {error}", to.display())))?;
    for file in &files {
        output::write(&to.join(&file.name), &file.bytes)?;
    }
    Ok(())
}
