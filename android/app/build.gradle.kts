plugins {
    alias(libs.plugins.android.application)
    alias(libs.plugins.kotlin.android)
}

kotlin {
    jvmToolchain(17)
}

android {
    namespace = "org.dooryard.app"
    compileSdk = 34

    defaultConfig {
        applicationId = "org.dooryard.app"
        minSdk = 26
        targetSdk = 34
        versionCode = 1
        versionName = "0.1.0"
    }

    buildTypes {
        release {
            isMinifyEnabled = true
            proguardFiles("tools/rules.pro")
        }
    }

    sourceSets["main"].apply {
        kotlin.srcDir("src/main/kotlin")
        // Written by `cargo xtask android`: the signed pack, and the core's libraries where a kit built them.
        assets.srcDir("../../target/assets")
        jniLibs.srcDir("../../target/jni")
    }
}

dependencies {
    implementation(project(":kit"))
    implementation("${libs.jna.get().module}:${libs.versions.jna.get()}@aar")
}
