//! A git repository of its own, untouched by the settings of whoever runs the tests.

use super::{Bench, outputs};
use std::path::Path;
use std::process::Command;

/// A repository whose Retin files are joined by `retin`.
pub struct Repository {
    /// Its work tree.
    pub bench: Bench,
}

impl Repository {
    /// An empty repository on the branch `main`.
    ///
    /// Panics where git is not installed: without it nothing here is tested.
    pub fn new() -> Self {
        let repository = Repository {
            bench: Bench::without_git(),
        };
        repository.git(&["init", "--quiet", "--initial-branch=main"]);
        repository
    }

    /// A repository with the driver set up, and one commit that holds `text` as `job.retin`.
    pub fn with_job(text: &str) -> Self {
        let repository = Repository::new();
        outputs(repository.retin(&["merge", "--install"]), 0);
        repository.bench.write("job.retin", text);
        repository.commit("begin");
        repository
    }

    /// Runs git, expects it to succeed, and gives what it prints.
    pub fn git(&self, arguments: &[&str]) -> String {
        let (is_done, text) = self.try_git(arguments);
        assert!(is_done, "git {arguments:?}: {text}");
        text
    }

    /// Runs git: whether it succeeded, and all it prints.
    pub fn try_git(&self, arguments: &[&str]) -> (bool, String) {
        let mut git = Command::new("git");
        git.current_dir(self.bench.path("")).args(arguments);
        for (name, value) in surroundings(&self.bench.path("")) {
            git.env(name, value);
        }
        let output = git.output().expect("git is needed by these tests");
        let text = [output.stdout, output.stderr].concat();
        (
            output.status.success(),
            String::from_utf8_lossy(&text).into_owned(),
        )
    }

    /// `retin` in the repository, with git as isolated as here.
    pub fn retin(&self, arguments: &[&str]) -> assert_cmd::Command {
        let mut command = self.bench.retin(arguments);
        command.envs(surroundings(&self.bench.path("")));
        command
    }

    /// Commits everything.
    pub fn commit(&self, message: &str) {
        self.git(&["add", "--all"]);
        self.git(&["commit", "--quiet", "--allow-empty", "--message", message]);
    }

    /// Commits `text` as `job.retin` on a branch that begins at `from`.
    pub fn branch(&self, name: &str, from: &str, text: &str) {
        self.git(&["switch", "--quiet", "--create", name, from]);
        self.bench.write("job.retin", text);
        self.commit(name);
    }

    /// The job as it stands in the work tree.
    pub fn job(&self) -> String {
        self.bench.read("job.retin")
    }
}

fn surroundings(home: &Path) -> [(&'static str, String); 9] {
    let home = home.join(".home").display().to_string();
    [
        ("HOME", home.clone()),
        ("XDG_CONFIG_HOME", home),
        ("GIT_CONFIG_GLOBAL", "/dev/null".into()),
        ("GIT_CONFIG_NOSYSTEM", "1".into()),
        ("GIT_AUTHOR_NAME", "Ada Merrin".into()),
        ("GIT_AUTHOR_EMAIL", "ada@example.org".into()),
        ("GIT_COMMITTER_NAME", "Ada Merrin".into()),
        ("GIT_COMMITTER_EMAIL", "ada@example.org".into()),
        ("GIT_EDITOR", "true".into()),
    ]
}
