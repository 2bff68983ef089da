import DooryardCore
import Foundation
import Testing

@Suite struct SecretsTests {
    let folder: Folder
    let phone: String
    let keyFile: URL
    let secrets = MemorySecrets()

    init() throws {
        folder = try Folder()
        phone = folder.path("phone")
        keyFile = folder.url.appendingPathComponent("phone/local/device.key")
    }

    @Test func theKeyStandsInNoFileInTheClearAndTheSameSecretsOpenIt() throws {
        let made = try FieldNotebook.create(path: phone, secrets: secrets)
        let request = try made.enrolmentRequest()
        made.shutdown()
        #expect(secrets.keys.count == 1)
        let key = try #require(secrets.keys.first)
        #expect(key.count > 100, "the seed and what opens bundles")
        for secret in String(decoding: key, as: UTF8.self).split(separator: "\n") {
            for (name, bytes) in try filesOf(phone) {
                #expect(bytes.range(of: Data(secret.utf8)) == nil, "\(name)")
            }
        }
        #expect(try FieldNotebook.open(path: phone, secrets: secrets).enrolmentRequest() == request)
    }

    @Test func aLockedSecretIsSaidAndEverythingIsThereAfterwards() throws {
        let desk = try Desk(office: folder.path("office"))
        let notebook = try desk.newPhone(in: phone, label: "Scout 8", secrets: secrets)
        let saved = try FieldWork(in: notebook, by: "Scout 8")
        notebook.shutdown()
        let before = try filesOf(phone)
        secrets.throwing = SecretsError.Locked
        #expect(thrown { _ = try FieldNotebook.open(path: phone, secrets: secrets) } == .KeyLocked)
        let fresh = folder.path("fresh")
        #expect(thrown { _ = try FieldNotebook.create(path: fresh, secrets: secrets) } == .KeyLocked)
        #expect(try filesOf(phone) == before, "no byte was changed")
        #expect(!FileManager.default.fileExists(atPath: fresh + "/local/device.key"), "no key is left in the clear")
        secrets.throwing = nil
        let again = try FieldNotebook.open(path: phone, secrets: secrets)
        #expect(try again.show(id: saved.finding).text("character") == "leaf_spot")
        _ = try FieldNotebook.create(path: fresh, secrets: secrets)
    }

    @Test func aLostKeyAForeignOneAndABrokenStoreAreToldApartAndNothingIsTouched() throws {
        struct StoreCrashed: Error {}
        try FieldNotebook.create(path: phone, secrets: secrets).shutdown()
        let before = try filesOf(phone)
        let other = MemorySecrets(name: "another phone's")
        #expect(thrown { _ = try FieldNotebook.open(path: phone, secrets: other) } == .KeyForeign)
        let table: [(any Error, NotebookError)] = [
            (SecretsError.Gone, .KeyGone), (StoreCrashed(), .SecretsFailed), (SecretsError.Failed, .SecretsFailed),
        ]
        for (error, expected) in table {
            secrets.throwing = error
            #expect(thrown { _ = try FieldNotebook.open(path: phone, secrets: secrets) } == expected)
        }
        #expect(try filesOf(phone) == before)
        secrets.throwing = nil
        _ = try FieldNotebook.open(path: phone, secrets: secrets)
    }

    @Test func aKeyFileWithBytesMissingIsRefusedAndLeftAsItIs() throws {
        try FieldNotebook.create(path: phone, secrets: secrets).shutdown()
        let whole = try Data(contentsOf: keyFile)
        try whole.dropLast(9).write(to: keyFile)
        #expect(refusal { _ = try FieldNotebook.open(path: phone, secrets: secrets) } == "SCHEMA")
        #expect(try Data(contentsOf: keyFile) == whole.dropLast(9))
        try whole.write(to: keyFile)
        _ = try FieldNotebook.open(path: phone, secrets: secrets)
    }

    @Test func aStoreThatPassesTheKeyOnIsRefusedAndAnOldPlainKeyIsWrappedFromThenOn() throws {
        let idle = IdleSecrets()
        #expect(thrown { _ = try FieldNotebook.create(path: phone, secrets: idle) } == .SecretsFailed)
        #expect(!FileManager.default.fileExists(atPath: keyFile.path))
        try FileManager.default.removeItem(atPath: phone)
        try FileManager.default.copyItem(atPath: Places.golden.appendingPathComponent("phone").path, toPath: phone)
        let plain = try Data(contentsOf: keyFile)
        #expect(thrown { _ = try FieldNotebook.open(path: phone, secrets: idle) } == .SecretsFailed)
        #expect(try Data(contentsOf: keyFile) == plain, "left as it was")
        let notebook = try FieldNotebook.open(path: phone, secrets: secrets)
        let records = try notebook.list(request: ListRequest()).total
        #expect(records > 0)
        notebook.shutdown()
        let wrapped = try Data(contentsOf: keyFile)
        for line in plain.split(separator: UInt8(ascii: "\n")) {
            #expect(wrapped.range(of: line) == nil)
        }
        let again = try FieldNotebook.open(path: phone, secrets: secrets)
        #expect(try again.list(request: ListRequest()).total == records)
    }
}
