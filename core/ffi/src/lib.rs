uniffi::setup_scaffolding!();
