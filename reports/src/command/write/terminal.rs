//! How answers look on a terminal: no line over 80 columns, and bold headings where there is a
//! terminal to show them.

/// Columns of a line (common practice).
const COLUMNS: usize = 80;
/// Text folded under a column of a table starts no farther right than this.
const DEEPEST: usize = 44;
const BOLD: &str = "\u{1b}[1m";
const FAINT: &str = "\u{1b}[2m";
const COLOUR: &str = "\u{1b}[36m";
const PLAIN: &str = "\u{1b}[0m";

/// An answer as it is written: sentences, and headings with rows under them.
#[derive(Default)]
pub(crate) struct Lines(String);

impl Lines {
    /// A line.
    pub(crate) fn say(&mut self, line: impl AsRef<str>) {
        self.0 += line.as_ref();
        self.0.push('\n');
    }

    /// A line after an empty one.
    pub(crate) fn then(&mut self, line: impl AsRef<str>) {
        self.say("");
        self.say(line);
    }

    /// A heading after an empty line, and rows under it.
    pub(crate) fn under(&mut self, heading: &str, rows: impl IntoIterator<Item = String>) {
        self.then(heading);
        self.rows(rows);
    }

    /// Rows, indented.
    pub(crate) fn rows(&mut self, rows: impl IntoIterator<Item = String>) {
        rows.into_iter().for_each(|row| self.say(format!("  {row}")));
    }

    pub(crate) fn text(self) -> String {
        self.0
    }
}

/// Breaks lines at spaces, never within a word. What follows is indented under the text it belongs
/// to. Lines to paste into a file stay whole.
pub(crate) fn fold(text: &str) -> String {
    text.split_inclusive('\n')
        .map(|line| {
            if is_to_paste(line) {
                line.to_string()
            } else {
                folded(line.trim_end_matches('\n'), line.ends_with('\n'))
            }
        })
        .collect()
}

fn folded(line: &str, ends: bool) -> String {
    let hang = hanging(line);
    let (mut text, mut column) = (String::new(), 0);
    for (i, word) in line.split(' ').enumerate() {
        let wide = word.chars().count();
        if i > 0 && column + 1 + wide > COLUMNS && column > hang {
            text = text.trim_end().to_string() + "\n" + &" ".repeat(hang);
            column = hang;
        } else if i > 0 {
            text.push(' ');
            column += 1;
        }
        text.push_str(word);
        column += wide;
    }
    if ends { text + "\n" } else { text }
}

/// Where a folded line goes on: two columns deeper than it starts, or under the last column of a
/// table.
fn hanging(line: &str) -> usize {
    let start = line.len() - line.trim_start().len();
    let columns = line
        .char_indices()
        .filter(|(i, _)| *i > start && line[..*i].ends_with("  ") && !line[*i..].starts_with(' '));
    let last = columns.map(|(i, _)| line[..i].chars().count()).filter(|c| *c <= DEEPEST).max();
    last.unwrap_or(if start == 0 { 0 } else { start + 2 })
}

/// Whether a line belongs into a file: a key and its value, or the head of a table.
fn is_to_paste(line: &str) -> bool {
    let line = line.trim();
    let key = line.split_once(" = ").map(|(key, _)| key);
    line.starts_with(['[', '#', '{', ']'])
        || key.is_some_and(|k| {
            !k.is_empty()
                && k.chars().all(|c| c.is_alphanumeric() || matches!(c, '_' | '.' | '"' | '-'))
        })
}

/// The answer and headings in bold, lines to paste in a color, the caution faint.
pub(crate) fn styled(text: &str) -> String {
    let lines: Vec<&str> = text.lines().collect();
    let answer = lines.iter().take_while(|l| !l.is_empty()).count();
    let caution = lines.iter().rposition(|l| l.is_empty()).unwrap_or(lines.len());
    let styled = lines.iter().enumerate().map(|(i, line)| {
        let heads = !line.is_empty()
            && !line.starts_with(' ')
            && lines.get(i + 1).is_some_and(|next| next.starts_with(' '));
        match line {
            _ if line.is_empty() => String::new(),
            _ if i < answer || heads => format!("{BOLD}{line}{PLAIN}"),
            _ if is_to_paste(line) => format!("{COLOUR}{line}{PLAIN}"),
            _ if i > caution => format!("{FAINT}{line}{PLAIN}"),
            _ => (*line).to_string(),
        }
    });
    styled.map(|line| line + "\n").collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_folded_at_spaces_under_the_text_they_belong_to() {
        let long = format!("  hall to living room   {}", "word ".repeat(20));
        let folded = fold(&long);
        assert!(folded.lines().all(|l| l.chars().count() <= COLUMNS), "{folded}");
        assert!(
            folded
                .lines()
                .skip(1)
                .all(|l| l.starts_with(&" ".repeat(24)) && !l.starts_with(&" ".repeat(25))),
            "{folded}"
        );
        assert_eq!(
            folded.split_whitespace().collect::<Vec<_>>(),
            long.split_whitespace().collect::<Vec<_>>()
        );
    }

    #[test]
    fn lines_to_paste_and_long_words_stay_whole() {
        let paste = format!(
            "change = {{ \"front door\" = {{ width = \"36in\" }} }} # {}\n",
            "x".repeat(80)
        );
        assert_eq!(fold(&paste), paste);
        let word = "y".repeat(200);
        assert_eq!(fold(&word), word);
    }

    #[test]
    fn the_answer_and_headings_are_bold() {
        let text = styled("40 guests: lively\n\nLines\n  food: no line\n\ncaution\n");
        assert_eq!(
            text,
            format!(
                "{BOLD}40 guests: lively{PLAIN}\n\n{BOLD}Lines{PLAIN}\n  food: no line\n\n{FAINT}caution{PLAIN}\n"
            )
        );
    }
}
