//! A picture as a list of shapes, drawn in two ways: in the page, where classes of its style sheet give the
//! ink, and as the text of an SVG file that stands by itself.
//!
//! Every picture carries a title and a description; the view that shows it also gives the numbers.

use super::at;
use std::fmt::Write;
use yew::prelude::*;

/// What a shape is drawn with: a class in the page, attributes in a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ink {
    /// The line that an axis stands on.
    Rule,
    /// A thin line across the picture.
    Grid,
    /// A tick of an axis.
    Tick,
    /// The line between good and short.
    Line,
    /// The span of several such lines.
    LineSpan,
    /// The words at such a line.
    LineLabel,
    /// Years that are not short.
    Fine,
    /// Years that are short.
    Short,
    /// A range.
    Band,
    /// The middle of a range.
    Curve,
    /// What is assumed.
    Assumed,
    /// Trials in the system asked for.
    Own,
    /// Trials in other systems.
    Other,
    /// A number on an axis, or quiet words.
    Number,
    /// A unit.
    Unit,
    /// A name.
    Name,
    /// A sentence.
    Said,
    /// The line of the first of up to four varieties.
    First,
    /// The second.
    Second,
    /// The third.
    Third,
    /// The fourth.
    Fourth,
    /// Where the reader moved something.
    Here,
}

impl Ink {
    /// The class of its style sheet in the page.
    pub fn class(self) -> &'static str {
        match self {
            Ink::Rule => "rule",
            Ink::Grid => "grid",
            Ink::Tick => "tick",
            Ink::Line => "line",
            Ink::LineSpan => "line-span",
            Ink::LineLabel => "line-label",
            Ink::Fine => "fine",
            Ink::Short => "short",
            Ink::Band => "band",
            Ink::Curve => "curve",
            Ink::Assumed => "assumed",
            Ink::Own => "own",
            Ink::Other => "other",
            Ink::Number => "number",
            Ink::Unit => "unit",
            Ink::Name => "name",
            Ink::Said => "said",
            Ink::First => "curve",
            Ink::Second => "curve second",
            Ink::Third => "curve third",
            Ink::Fourth => "curve fourth",
            Ink::Here => "here",
        }
    }

    /// The daylight colours of the page's style sheet.
    fn attributes(self) -> &'static str {
        match self {
            Ink::Rule | Ink::Tick => r##"fill="none" stroke="#1d1b16""##,
            Ink::Grid => r##"fill="none" stroke="#d3cdbf""##,
            Ink::Line => r##"fill="none" stroke="#9b2912" stroke-width="1.25" stroke-dasharray="2.5 2.5""##,
            Ink::LineSpan => r##"fill="none" stroke="#9b2912" stroke-width="1.25""##,
            Ink::LineLabel => r##"fill="#9b2912" font-weight="700""##,
            Ink::Fine | Ink::Own => r##"fill="#1d1b16""##,
            Ink::Short => r##"fill="none" stroke="#9b2912" stroke-width="1.9""##,
            Ink::Band => r##"fill="#eeeade""##,
            // Not in any picture that is kept as a file.
            Ink::First | Ink::Second | Ink::Third | Ink::Fourth | Ink::Here => {
                r##"fill="none" stroke="#1d1b16""##
            }
            Ink::Curve => r##"fill="none" stroke="#1d1b16" stroke-width="2.25""##,
            Ink::Assumed => r##"fill="none" stroke="#857f70" stroke-dasharray="1 3""##,
            Ink::Other => r##"fill="#fdfcf8" stroke="#1d1b16" stroke-width="1.1""##,
            Ink::Number | Ink::Unit => r##"fill="#4b473d""##,
            Ink::Name => r##"fill="#1d1b16" font-weight="700""##,
            Ink::Said => r##"fill="#1d1b16""##,
        }
    }
}

/// Which end of some words stands at their place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// They begin there.
    Start,
    /// They stand in the middle of it.
    Middle,
    /// They end there.
    End,
}

impl Anchor {
    fn word(self) -> &'static str {
        match self {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        }
    }
}

/// A part of a picture, in user units.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// A path.
    Path(Ink, String),
    /// Words with the place of their base line.
    Words(Ink, (f64, f64), Anchor, String),
    /// Shapes moved right and down together.
    Moved((f64, f64), Vec<Shape>),
}

/// A picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// Width and height, user units.
    pub size: (f64, f64),
    /// Title.
    pub title: String,
    /// What it shows, in words.
    pub description: String,
    /// Its parts, the lowest first.
    pub shapes: Vec<Shape>,
}

impl Drawing {
    /// The picture in the page.
    pub fn html(&self, class: &'static str) -> Html {
        let (width, height) = self.size;
        html! {
            <svg {class} viewBox={format!("0 0 {width} {height}")} role="img" aria-label={self.title.clone()}>
                <title>{ self.title.clone() }</title>
                <desc>{ self.description.clone() }</desc>
                { for self.shapes.iter().map(shape_html) }
            </svg>
        }
    }

    /// The picture as a file of its own, on paper of the page's colour.
    pub fn file(&self) -> String {
        let (width, height) = self.size;
        let mut out = String::new();
        _ = write!(
            out,
            r##"<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" viewBox="0 0 {width} {height}" role="img" font-family="system-ui, 'Noto Sans', Arial, sans-serif" font-size="13"><title>{}</title><desc>{}</desc><path fill="#fdfcf8" d="M0 0H{width}V{height}H0z"/>"##,
            escaped(&self.title),
            escaped(&self.description)
        );
        for shape in &self.shapes {
            shape_text(shape, &mut out);
        }
        out.push_str("</svg>\n");
        out
    }
}

fn shape_html(shape: &Shape) -> Html {
    match shape {
        Shape::Path(ink, d) => html! { <path class={ink.class()} d={d.clone()} /> },
        Shape::Words(ink, (x, y), anchor, words) => html! {
            <text class={ink.class()} x={at(*x)} y={at(*y)} text-anchor={anchor.word()}>{ words.clone() }</text>
        },
        Shape::Moved((x, y), shapes) => html! {
            <g transform={format!("translate({} {})", at(*x), at(*y))}>{ for shapes.iter().map(shape_html) }</g>
        },
    }
}

fn shape_text(shape: &Shape, out: &mut String) {
    match shape {
        Shape::Path(_, d) if d.is_empty() => {}
        Shape::Path(ink, d) => _ = write!(out, r#"<path {} d="{d}"/>"#, ink.attributes()),
        Shape::Words(ink, (x, y), anchor, words) => {
            _ = write!(
                out,
                r#"<text {} x="{}" y="{}" text-anchor="{}">{}</text>"#,
                ink.attributes(),
                at(*x),
                at(*y),
                anchor.word(),
                escaped(words)
            );
        }
        Shape::Moved((x, y), shapes) => {
            _ = write!(out, r#"<g transform="translate({} {})">"#, at(*x), at(*y));
            for shape in shapes {
                shape_text(shape, out);
            }
            out.push_str("</g>");
        }
    }
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_stands_by_itself_and_escapes_what_it_is_told() {
        let words = Shape::Words(Ink::Name, (1.0, 2.0), Anchor::Start, "Rust & <smut>".into());
        let drawing = Drawing {
            size: (10.0, 20.0),
            title: "A \"name\"".into(),
            description: "what".into(),
            shapes: vec![Shape::Moved((3.0, 4.0), vec![words]), Shape::Path(Ink::Fine, String::new())],
        };
        let file = drawing.file();
        assert!(file.contains("<title>A &quot;name&quot;</title><desc>what</desc>"), "{file}");
        assert!(file.contains(r#"<g transform="translate(3 4)"><text"#), "{file}");
        assert!(file.contains(">Rust &amp; &lt;smut&gt;</text></g></svg>"), "{file}");
        assert!(!file.contains("class=") && !file.contains("style="), "{file}");
    }
}
