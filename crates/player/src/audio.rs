//! Clicks in the browser: one context, one gain for each run, a source for each click.

use crate::clock::on_grid;
use cueleaf_plan::{ClickSound, click_samples};
use cueleaf_time::Level;
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::{JsValue, wasm_bindgen};
use web_sys::{
    AudioBuffer, AudioBufferSourceNode, AudioContext, AudioContextState, AudioScheduledSourceNode,
    BaseAudioContext, GainNode,
};

#[wasm_bindgen(module = "/src/device.js")]
extern "C" {
    /// Gives how long after the context's time a sound is heard, in seconds; 0 where unknown.
    fn latency(context: &AudioContext) -> f64;
    /// Says that this delay may be another from here on.
    #[wasm_bindgen(js_name = listenAnew)]
    fn listen_anew();
    /// Asks the system to sound although the ring switch is off.
    #[wasm_bindgen(js_name = soundAlways)]
    fn sound_always();
    /// Keeps the screen awake, or lets it sleep.
    #[wasm_bindgen(js_name = stayAwake)]
    pub(crate) fn stay_awake(on: bool);
    /// Stops the teacher's voice notes.
    #[wasm_bindgen(js_name = hushNotes)]
    pub(crate) fn hush_notes();
    /// Tells whether the device can buzz.
    #[wasm_bindgen(js_name = canBuzz)]
    pub(crate) fn can_buzz() -> bool;
    /// Tells whether the device itself can speak the language of the page.
    #[wasm_bindgen(js_name = canSpeak)]
    pub(crate) fn can_speak() -> bool;
    /// Speaks a few words, instead of what it may be saying.
    pub(crate) fn speak(text: &str);
    /// Copies what stands in a field; tells whether it did.
    #[wasm_bindgen(js_name = copyFrom)]
    pub(crate) fn copy_from(id: &str) -> bool;
    /// Buzzes for a moment.
    pub(crate) fn buzz();
}

/// How clicks are to sound.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Sounding {
    /// What they are made of.
    pub(crate) sound: ClickSound,
    /// The level above which no click sounds: below the strongest there are no accents.
    pub(crate) strongest: Level,
    /// From 0 to 1.
    pub(crate) volume: f32,
}

/// The three sounds and the quiet one, for one context.
#[derive(Debug)]
pub(crate) struct Sounds {
    buffers: Vec<(Level, AudioBuffer)>,
}

const LEVELS: [Level; 4] = [
    Level::Downbeat,
    Level::Group,
    Level::Beat,
    Level::Subdivision,
];

impl Sounds {
    pub(crate) fn new(context: &BaseAudioContext, how: Sounding) -> Result<Self, JsValue> {
        let rate = context.sample_rate();
        let make = |level| {
            let samples = click_samples(how.sound, how.strongest.min(level), f64::from(rate));
            let length = u32::try_from(samples.len()).unwrap_or(1);
            let buffer = context.create_buffer(1, length, rate)?;
            buffer.copy_to_channel(&samples, 0)?;
            Ok((level, buffer))
        };
        let buffers = LEVELS
            .into_iter()
            .map(make)
            .collect::<Result<_, JsValue>>()?;
        Ok(Self { buffers })
    }

    /// Queues a click on the grid of samples and gives its source and its second.
    pub(crate) fn queue(
        &self,
        context: &BaseAudioContext,
        output: &GainNode,
        level: Level,
        time: f64,
    ) -> Result<(AudioBufferSourceNode, f64), JsValue> {
        let source = context.create_buffer_source()?;
        let own = self.buffers.iter().find(|(own, _)| *own == level);
        source.set_buffer(own.map(|(_, buffer)| buffer));
        source.connect_with_audio_node(output)?;
        let time = on_grid(time, f64::from(context.sample_rate()));
        source.start_with_when(time)?;
        Ok((source, time))
    }
}

/// A context that sounds, with its sounds.
#[derive(Debug)]
pub(crate) struct Audio {
    pub(crate) context: AudioContext,
    pub(crate) sounds: Sounds,
}

impl Audio {
    /// Makes a context. Only inside the handler of a tap or key does it start to run.
    pub(crate) fn new(how: Sounding) -> Result<Self, JsValue> {
        sound_always();
        let context = AudioContext::new()?;
        let sounds = Sounds::new(&context, how)?;
        Ok(Self { context, sounds })
    }

    /// Asks the context to run, unless a call or the like interrupts it.
    pub(crate) fn resume(&self) {
        listen_anew();
        if self.context.state() == AudioContextState::Suspended {
            // The promise tells nothing the clock will not tell.
            let _ = self.context.resume();
        }
    }

    pub(crate) fn is_running(&self) -> bool {
        self.context.state() == AudioContextState::Running
    }

    /// Gives the second of the context that is heard now.
    pub(crate) fn heard(&self) -> f64 {
        self.context.current_time() - latency(&self.context)
    }

    pub(crate) fn close(&self) {
        let _ = self.context.close();
    }
}

/// What the clicks of one run go through, so that they can be silenced together.
#[derive(Debug)]
pub(crate) struct Output {
    gain: GainNode,
    volume: f32,
    sources: Vec<(f64, AudioBufferSourceNode)>,
}

/// How long the sound of a run takes to go, in seconds: no crack.
const FADE: f64 = 0.02;

impl Output {
    pub(crate) fn new(context: &BaseAudioContext, volume: f32) -> Result<Self, JsValue> {
        let gain = context.create_gain()?;
        gain.gain().set_value(volume);
        gain.connect_with_audio_node(&context.destination())?;
        Ok(Self {
            gain,
            volume,
            sources: Vec::new(),
        })
    }

    pub(crate) const fn gain(&self) -> &GainNode {
        &self.gain
    }

    /// Keeps a queued click, which falls at `at` in its run, and forgets those before `now`.
    pub(crate) fn keep(&mut self, at: f64, source: AudioBufferSourceNode, now: f64) {
        self.sources.retain(|(at, _)| *at >= now);
        self.sources.push((at, source));
    }

    /// Cancels what is queued from a second of the run on.
    pub(crate) fn cancel_from(&mut self, from: f64) {
        self.sources.retain(|(at, source)| {
            if *at >= from {
                // A source that has not started yet never will.
                let _ = AudioScheduledSourceNode::stop(source);
                let _ = source.disconnect();
            }
            *at < from
        });
    }

    /// Renames the seconds of the run at which the queued clicks fall.
    pub(crate) fn shift(&mut self, by: f64) {
        for (at, _) in &mut self.sources {
            *at += by;
        }
    }

    /// Goes to another volume, from 0 to 1, without a crack.
    pub(crate) fn fade(&mut self, context: &AudioContext, volume: f32) {
        let now = context.current_time();
        let gain = self.gain.gain();
        let _ = gain.set_value_at_time(self.volume, now);
        let _ = gain.linear_ramp_to_value_at_time(volume, now + FADE);
        self.volume = volume;
    }

    /// Fades and lets go: what is queued still runs, into nothing.
    pub(crate) fn silence(mut self, context: &AudioContext) {
        self.fade(context, 0.0);
        let gain = self.gain;
        gloo_timers::callback::Timeout::new(200, move || {
            let _ = gain.disconnect();
        })
        .forget();
    }
}

/// Takes any context a test brings as what it is.
pub(crate) fn as_base(context: &AudioContext) -> &BaseAudioContext {
    context.unchecked_ref()
}
